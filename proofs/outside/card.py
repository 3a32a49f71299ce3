"""A photograph of a grey card as a light meter: its exposure, and the light level of the card.

Any picture that the program can print can be measured, in 8 or 16 bits; its profile is applied.
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
_CELLS = 24  # patches per side: large enough to average noise, small enough to see texture
_LEAST_SIDE = 3 * _CELLS
_BLACKEST, _WHITEST = 12 / 255, 245 / 255  # sRGB beyond which a camera compresses tones most
_MOST_CODE = 65535

# Tags of EXIF 2.32, from memory.
_TIME, _APERTURE, _TIME_APEX, _APERTURE_APEX = 33434, 33437, 37377, 37378
_SENSITIVITIES = (34855, 34865, 34866)  # the first is 65535 where the value does not fit
_UNKNOWN = 65535
_MOST_APEX = 32  # no exposure is beyond it; cameras write larger values for an unknown one


@dataclass(frozen=True, slots=True)
class CardPhotograph:
    """The exposure and the light of a photograph of a grey card.

    ``iso``, ``seconds`` and ``aperture`` are None if its EXIF does not record them.
    ``level`` is the luminance of the middle third of the frame, linear from 0 to 1;
    ``evenness`` is the darkest patch there over the brightest.
    """

    iso: float | None
    seconds: float | None
    aperture: float | None
    level: float
    evenness: float


def read_card(path: Path) -> CardPhotograph:
    """Return the exposure and the light of a photograph of a grey card.

    Raises ``PhotographError`` if it cannot be read, is too dark or too bright to measure, or if
    its middle is too uneven to be a card.
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
    tags = photograph.metadata.exif.get("exif", ())
    return CardPhotograph(*_exposure(tags), float(light.mean(dtype=np.float64)), evenness)


def _middle(photograph: Photograph, path: Path) -> Photograph:
    """The middle third of the frame."""
    image = photograph.image
    width, height = image.width, image.height
    if min(width, height) < _LEAST_SIDE:
        raise PhotographError(
            f"{path}: is only {width} x {height} pixels; use the camera's own file"
        )
    middle = image.crop(width // 3, height // 3, width // 3, height // 3)
    return replace(photograph, image=middle)


def _evenness(light: NDArray[np.float32]) -> float:
    """The darkest patch over the brightest; a few outliers do not count."""
    rows, columns = (np.linspace(0, side, _CELLS + 1).astype(int) for side in light.shape)
    sums = np.add.reduceat(np.add.reduceat(light, rows[:-1], axis=0), columns[:-1], axis=1)
    patches = sums / np.outer(np.diff(rows), np.diff(columns))
    low, high = np.percentile(patches, [2, 98])
    return float(low / high) if high > 0 else 0.0


def _exposure(entries: Iterable[TagEntry]) -> tuple[float | None, float | None, float | None]:
    """ISO, seconds and f-number, by their plain tags or else by those in APEX units."""
    numbers = {entry.tag: entry.first_number for entry in entries}
    seconds, aperture = _positive(numbers, _TIME), _positive(numbers, _APERTURE)
    if seconds is None and (value := _apex(numbers, _TIME_APEX)) is not None:
        seconds = 2.0**-value
    if aperture is None and (value := _apex(numbers, _APERTURE_APEX)) is not None:
        aperture = 2.0 ** (value / 2)
    sensitivities = (_positive(numbers, tag) for tag in _SENSITIVITIES)
    return next((iso for iso in sensitivities if iso), None), seconds, aperture


def _apex(numbers: Mapping[int, float | None], tag: int) -> float | None:
    value = numbers.get(tag)
    return value if value is not None and abs(value) < _MOST_APEX else None


def _positive(numbers: Mapping[int, float | None], tag: int) -> float | None:
    """The number of a tag; None if it is missing, or if cameras write it for "unknown"."""
    value = numbers.get(tag)
    if value is None or not 0 < value < math.inf or value == _UNKNOWN:
        return None
    return value
