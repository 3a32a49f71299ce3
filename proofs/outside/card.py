"""A photograph of a grey card as a light meter: its exposure, and how the card came out.

Any picture that can be printed can be measured, 8 or 16 bits; a profile in it is followed.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from proofs.errors import PhotographError
from proofs.outside.pixels.measure.scans import luminance, srgb_codes_of
from proofs.outside.pixels.source.decode import Photograph, decode
from proofs.outside.pixels.source.tiff_directories import TagEntry

LEAST_EVENNESS = 0.80  # darkest to brightest patch of a card in steady light; common practice
_CELLS = 24  # patches a side: large enough for noise to vanish in, small enough to see texture
_LEAST_SIDE = 3 * _CELLS
_BLACKEST, _WHITEST = 12 / 255, 245 / 255  # sRGB beyond which a camera bends the tones most
_MOST_CODE = 65535

# Tags of EXIF 2.32, from memory.
_TIME, _APERTURE, _TIME_APEX, _APERTURE_APEX = 33434, 33437, 37377, 37378
_SPEEDS = (34855, 34865, 34866)  # the first holds 65535 where the value does not fit
_UNKNOWN = 65535
_MOST_APEX = 32  # beyond it lies no exposure, but what a camera writes for an unknown one


@dataclass(frozen=True, slots=True)
class CardPhotograph:
    """What a photograph of a grey card tells.

    ``iso``, ``seconds`` and ``aperture`` are None where its EXIF is silent. ``level`` is that
    of the middle third of the frame, linear from 0 to 1; ``evenness`` is the darkest patch
    there over the brightest.
    """

    iso: float | None
    seconds: float | None
    aperture: float | None
    level: float
    evenness: float


def read_card(path: Path) -> CardPhotograph:
    """Return what a photograph of a grey card tells.

    Raises ``PhotographError`` where it cannot be read, is too dark or too bright to measure,
    or where its middle is too uneven to be a card.
    """
    photograph = decode(path)
    codes = srgb_codes_of(_middle(photograph, path))
    levels = codes.mean(axis=(0, 1)) / _MOST_CODE
    if levels.max() > _WHITEST:
        raise PhotographError(f"{path}: the card is burnt out; photograph it with less exposure")
    if levels.mean() < _BLACKEST:
        raise PhotographError(f"{path}: the card is black; photograph it with more exposure")
    light = luminance(codes)
    evenness = _evenness(light)
    if evenness < LEAST_EVENNESS:
        raise PhotographError(
            f"{path}: the middle is too uneven to be a card: its darkest patch has"
            f" {100 * evenness:.0f} % of the light of its brightest; let the card fill the frame,"
            " without a shadow on it"
        )
    told = photograph.metadata.exif.get("exif", ())
    return CardPhotograph(*_exposure(told), float(light.mean(dtype=np.float64)), evenness)


def _middle(photograph: Photograph, path: Path) -> Photograph:
    """The middle third of the frame."""
    image = photograph.image
    width, height = image.width, image.height
    if min(width, height) < _LEAST_SIDE:
        raise PhotographError(f"{path}: is {width} x {height} pixels; use the camera's own file")
    middle = image.crop(width // 3, height // 3, width // 3, height // 3)
    return replace(photograph, image=middle)


def _evenness(light: NDArray[np.float32]) -> float:
    """The darkest patch over the brightest; a few specks among them do not count."""
    rows, columns = (np.linspace(0, side, _CELLS + 1).astype(int) for side in light.shape)
    sums = np.add.reduceat(np.add.reduceat(light, rows[:-1], axis=0), columns[:-1], axis=1)
    patches = sums / np.outer(np.diff(rows), np.diff(columns))
    low, high = np.percentile(patches, [2, 98])
    return float(low / high) if high > 0 else 0.0


def _exposure(entries: Iterable[TagEntry]) -> tuple[float | None, float | None, float | None]:
    """ISO, seconds and f-number, by their plain tags or else by those in APEX units."""
    told = {entry.tag: entry.first_number for entry in entries}
    seconds, aperture = _above_nothing(told, _TIME), _above_nothing(told, _APERTURE)
    if seconds is None and (value := _apex(told, _TIME_APEX)) is not None:
        seconds = 2.0**-value
    if aperture is None and (value := _apex(told, _APERTURE_APEX)) is not None:
        aperture = 2.0 ** (value / 2)
    speeds = (_above_nothing(told, tag) for tag in _SPEEDS)
    return next((speed for speed in speeds if speed), None), seconds, aperture


def _apex(told: Mapping[int, float | None], tag: int) -> float | None:
    value = told.get(tag)
    return value if value is not None and abs(value) < _MOST_APEX else None


def _above_nothing(told: Mapping[int, float | None], tag: int) -> float | None:
    """The number of a tag; None where it holds none, or what cameras write for an unknown one."""
    value = told.get(tag)
    if value is None or not 0 < value < math.inf or value == _UNKNOWN:
        return None
    return value
