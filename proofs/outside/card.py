"""A photograph of a grey card as a light meter: its exposure, and how the card came out.

It reads an ordinary 8-bit picture from a camera or a phone; a profile in it is followed.
"""

import io
import math
import warnings
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from PIL import ExifTags, Image, ImageCms, UnidentifiedImageError

from proofs.errors import PhotographError
from proofs.outside.files import read_bytes
from proofs.plan.metering import Exposure

LEAST_EVENNESS = 0.80  # darkest to brightest patch of a card in steady light; common practice
_CELLS = 24  # patches a side: large enough for noise to vanish in, small enough to see texture
_LEAST_SIDE = 3 * _CELLS
_MOST_SIDE = 1000  # pixels of the middle that are looked at; more say no more
_BLACKEST, _WHITEST = 12, 245  # sRGB codes beyond which a camera bends the tones most
_LUMINANCE = np.array([0.2126, 0.7152, 0.0722])  # of the sRGB primaries; IEC 61966-2-1, from memory


@dataclass(frozen=True, slots=True)
class CardPhotograph:
    """What a photograph of a grey card tells.

    ``exposure`` is None where its EXIF is silent. ``level`` is that of the middle third of
    the frame, linear from 0 to 1; ``evenness`` is the darkest patch there over the brightest.
    """

    exposure: Exposure | None
    level: float
    evenness: float


def read_card(path: Path) -> CardPhotograph:
    """Return what a photograph of a grey card tells.

    Raises ``PhotographError`` where it cannot be read, is too dark or too bright to measure,
    or where its middle is too uneven to be a card.
    """
    picture, exif = _opened(path)
    middle = _middle(picture, path)
    every = 1 + min(middle.size) // _MOST_SIDE
    codes = np.asarray(middle, dtype=np.float64)[::every, ::every]
    if codes.mean(axis=(0, 1)).max() > _WHITEST:
        raise PhotographError(f"{path}: the card is burnt out; photograph it with less exposure")
    if codes.mean() < _BLACKEST:
        raise PhotographError(f"{path}: the card is black; photograph it with more exposure")
    light = linear(codes) @ _LUMINANCE
    patches = Image.fromarray(light.astype(np.float32)).resize(
        (_CELLS, _CELLS), Image.Resampling.BOX
    )
    low, high = np.percentile(np.asarray(patches), [2, 98])
    evenness = float(low / high) if high > 0 else 0.0
    if evenness < LEAST_EVENNESS:
        raise PhotographError(
            f"{path}: the middle is too uneven to be a card: its darkest patch has {evenness:.0%}"
            f" of the light of its brightest; let the card fill the frame, without a shadow on it"
        )
    return CardPhotograph(_exposure(exif), float(light.mean()), evenness)


def linear(
    codes: "np.ndarray[Any, np.dtype[np.float64]]",
) -> "np.ndarray[Any, np.dtype[np.float64]]":
    """Return the light, 0 to 1, behind sRGB codes from 0 to 255.

    Source: IEC 61966-2-1, from memory.

    >>> [round(float(v), 4) for v in linear(np.array([10.0, 118.0, 255.0]))]
    [0.003, 0.1812, 1.0]
    """
    value = codes / 255
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def _opened(path: Path) -> tuple[Image.Image, Mapping[int, Any]]:
    """The picture in sRGB, and what its EXIF says."""
    raw = read_bytes(path, error=PhotographError)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a large picture, a broken tag: the level stays true
            picture = Image.open(io.BytesIO(raw))
            exif = picture.getexif()
            told = {**exif, **exif.get_ifd(ExifTags.IFD.Exif)}
            return _in_srgb(picture), told
    except UnidentifiedImageError as error:
        raise PhotographError(
            f"{path}: is no picture that can be read here; save it as an 8-bit JPEG"
        ) from error
    except Image.DecompressionBombError as error:
        raise PhotographError(f"{path}: has too many pixels; save it smaller") from error
    except (OSError, ValueError, SyntaxError, ImageCms.PyCMSError) as error:
        raise PhotographError(f"{path}: cannot be read ({error}); save it again") from error


def _in_srgb(picture: Image.Image) -> Image.Image:
    profile = picture.info.get("icc_profile")
    if picture.mode not in ("RGB", "RGBA", "L", "P", "LA"):
        raise ValueError(f"it is {picture.mode}, not 8-bit RGB or grey")
    if not profile or picture.mode != "RGB":
        return picture.convert("RGB")
    own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
    made = ImageCms.profileToProfile(
        picture,
        own,
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
    )
    assert made is not None, "a new picture is made unless it is asked to change in place"
    return made


def _middle(picture: Image.Image, path: Path) -> Image.Image:
    """The middle third of the frame."""
    width, height = picture.size
    if min(width, height) < _LEAST_SIDE:
        raise PhotographError(f"{path}: is {width} x {height} pixels; use the camera's own file")
    return picture.crop((width // 3, height // 3, 2 * width // 3, 2 * height // 3))


def _exposure(told: Mapping[int, Any]) -> Exposure | None:
    """The exposure that EXIF tells, by its plain tags or else by those in APEX units."""
    tag = ExifTags.Base
    seconds = _number(told.get(tag.ExposureTime))
    if seconds is None and (speed := _number(told.get(tag.ShutterSpeedValue))) is not None:
        seconds = 2**-speed
    aperture = _number(told.get(tag.FNumber))
    if aperture is None and (value := _number(told.get(tag.ApertureValue))) is not None:
        aperture = 2 ** (value / 2)
    speeds = (tag.ISOSpeedRatings, tag.StandardOutputSensitivity, tag.RecommendedExposureIndex)
    iso = next(filter(None, (_number(told.get(speed)) for speed in speeds)), None)
    if not (seconds and aperture and iso) or min(seconds, aperture, iso) <= 0:
        return None
    return Exposure(iso, seconds, aperture)


def _number(value: Any) -> float | None:
    """The number of a tag; None where it holds none, or where cameras write that they know none."""
    first = value[0] if isinstance(value, tuple | list) and value else value
    try:
        number = float(first)
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    return number if math.isfinite(number) and number != 65535 else None
