"""The size of the image, on paper and in pixels.

Sizes that depend on the mount are found by trying layouts, so that no formula of the layout needs
its inverse here.
"""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from proofs.lengths import NM_PER_MM, ZERO, Length, PixelSize, Size, half_up
from proofs.pixel_areas import Area, pixels
from proofs.plan.entry.board import GivenOpening, Layout
from proofs.plan.entry.layout import lay_out
from proofs.plan.entry.tolerances import Tolerances
from proofs.records.mounts import Mount, WindowKind
from proofs.records.rules import BorderRule
from proofs.records.size_and_crop import CropPlace, CropWish, SizeKind, SizeWish

_NUDGE = Length(NM_PER_MM // 1000)
_LARGEST_SIDE = Length(10_000 * NM_PER_MM)

Side = Literal["width", "height"]


@dataclass(frozen=True, slots=True)
class PrintShape:
    """The shape of one picture as hung, width over height; that of a cropped one is exact.

    ``crop`` is the crop that the entry asks for, or the part that a given opening is to show.
    """

    aspect: Fraction
    crop: CropWish | None = None

    @property
    def is_cropped(self) -> bool:
        """Whether the shape is that of a crop."""
        return self.crop is not None and self.crop.aspect is not None


@dataclass(frozen=True, slots=True)
class ImageSize:
    """The image on paper, its aspect, and the side that decided its size.

    A cropped picture has exactly the aspect that was asked for, so both of its sides decide.
    ``opening`` is the given opening that the image is for, None if the opening follows from the
    image.
    """

    size: Size
    aspect: Fraction
    decides: Side | Literal["both"]
    opening: GivenOpening | None = None


@dataclass(frozen=True, slots=True)
class SizeBounds:
    """What limits the size of an image: its mount, its board, and the border rules.

    The rules' least border must hold even if all ``errors`` go against it. On a sheet of the lab
    an image keeps ``white`` on each side; of a print to the edge the lab trims ``edge_loss``.
    """

    mount: Mount
    board: Size
    borders: tuple[BorderRule, ...]
    errors: Tolerances
    white: Length = ZERO
    edge_loss: Length = ZERO


def crop_box(hung: PixelSize, crop: CropWish | None) -> Area:
    """Return the largest part of the picture with the crop's aspect; the whole without one."""
    if crop is None or crop.aspect is None:
        return Area.of(hung)
    if hung.aspect > crop.aspect:
        width, height = max(1, half_up(hung.height * crop.aspect)), hung.height
    else:
        width, height = hung.width, max(1, half_up(hung.width / crop.aspect))
    spare_x, spare_y = hung.width - width, hung.height - height
    left = {CropPlace.LEFT: 0, CropPlace.RIGHT: spare_x}.get(crop.place, spare_x // 2)
    top = {CropPlace.TOP: 0, CropPlace.BOTTOM: spare_y}.get(crop.place, spare_y // 2)
    return Area(left, top, width, height)


def image_size(wish: SizeWish, aspect: Fraction, bounds: SizeBounds, *, cropped: bool) -> ImageSize:
    """Return the image, as hung, that an entry's ``size`` asks for.

    ``aspect`` is width over height, after turning and cropping. Raises ``ValueError`` if no image
    can have that size.
    """
    size, decides = _sized(wish, aspect, bounds)
    return ImageSize(size, aspect, "both" if cropped else decides)


def on_sheet(wish: SizeWish, bounds: SizeBounds) -> SizeWish:
    """Return a wish for a sheet of the lab as one for the box that its image fills.

    Any other wish is returned as it is. Raises ``ValueError`` if the sheet has no room.
    """
    if wish.box is None or wish.kind not in (SizeKind.PRINT, SizeKind.SHEET):
        return wish
    beyond = Size(2 * bounds.edge_loss, 2 * bounds.edge_loss)
    if wish.kind == SizeKind.SHEET:
        if bounds.mount.window == WindowKind.SURROUND:
            raise ValueError(
                f"size: the print of the mount {bounds.mount.name!r} is its whole board, whatever"
                " the image measures; write the size of the image"
            )
        beyond = _paper_beyond(bounds)
    room = wish.box.extended(beyond, times=-1)
    if room.shortest <= ZERO:
        raise ValueError(f"size: a sheet of {wish.box} has no room for an image; write another")
    return SizeWish(SizeKind.BOX, box=room, unit=wish.unit)


def _paper_beyond(bounds: SizeBounds) -> Size:
    """How much larger a sheet is than its image: the lab's white, or the paper that is seen.

    Neither depends on how large the image is, so any image shows it.
    """
    image, white = bounds.board, 2 * bounds.white
    paper = lay_out(bounds.mount, bounds.board, image).pictures[0].paper_needed
    return paper.extended(image, times=-1).united(Size(white, white))


def pixel_size(image: ImageSize, ppi: int) -> PixelSize:
    """Return the exact pixels of an image: half up, the deciding side first.

    >>> from proofs.lengths import inches
    >>> long = Size(inches(12), inches(8))
    >>> str(pixel_size(ImageSize(long, Fraction(3, 2), "width"), 300))
    '3600 × 2400 px'
    """
    width, height = pixels(image.size.width, ppi), pixels(image.size.height, ppi)
    if image.decides == "width":
        height = half_up(width / image.aspect)
    elif image.decides == "height":
        width = half_up(height * image.aspect)
    return PixelSize(max(1, width), max(1, height))


def _sized(wish: SizeWish, aspect: Fraction, bounds: SizeBounds) -> tuple[Size, Side]:
    if wish.kind == SizeKind.LARGEST:
        return _largest(aspect, bounds)
    limits = wished_sides(wish, aspect)
    if wish.kind == SizeKind.VISIBLE:
        box = Size(**limits)
        return _largest_where(aspect, lambda image: box.holds(_sight(bounds, image)))
    width_at = {
        side: limit.nm * (1 if side == "width" else aspect) for side, limit in limits.items()
    }
    decides = min(limits, key=lambda side: width_at[side])
    return with_side(limits[decides], aspect, decides), decides


def wished_sides(wish: SizeWish, aspect: Fraction) -> dict[Side, Length]:
    """Return the sides of a picture of this aspect that a wish limits, with their lengths.

    The wish is for sides, not for the largest image; its box is turned to suit the picture.
    """
    if wish.length is not None:
        return {"width" if (wish.kind == SizeKind.LONG) == (aspect >= 1) else "height": wish.length}
    if wish.box is None:
        raise ValueError(f"a size of kind '{wish.kind}' needs a box")
    box = wish.box if (wish.box.width >= wish.box.height) == (aspect >= 1) else wish.box.turned
    return {"width": box.width, "height": box.height}


def with_side(side: Length, aspect: Fraction, decides: Side) -> Size:
    """Return the image of this aspect whose ``width`` or ``height`` is ``side``."""
    if decides == "width":
        return Size(side, side * (1 / aspect))
    return Size(side * aspect, side)


def _sight(bounds: SizeBounds, image: Size) -> Size:
    return lay_out(bounds.mount, bounds.board, image).pictures[0].sight.size


@lru_cache(maxsize=256)  # the pictures of a folder share a few shapes
def _largest(aspect: Fraction, bounds: SizeBounds) -> tuple[Size, Side]:
    """The largest image that keeps the least border of the mount and of the rules on all sides.

    Rules may require less of small pictures, so each of their borders is tried in turn.
    """
    candidates = []
    for rule in bounds.borders or (BorderRule(least=Length(0)),):
        try:
            candidate = _largest_where(aspect, _keeps(bounds, rule))
        except ValueError:
            continue
        if _sight(bounds, candidate[0]).shortest > ZERO:
            candidates.append(candidate)
    if not candidates:
        raise ValueError("the board leaves no room for a picture inside its least borders")
    return max(candidates, key=lambda candidate: candidate[0].width)


def _keeps(bounds: SizeBounds, rule: BorderRule) -> Callable[[Size], bool]:
    return lambda image: keeps_border(bounds, rule, lay_out(bounds.mount, bounds.board, image))


def keeps_border(bounds: SizeBounds, rule: BorderRule, layout: Layout) -> bool:
    """Return whether a layout keeps the least border of the mount, and of a rule for its size.

    A rule for sizes up to a certain one holds only if no error takes the visible size beyond it.
    """
    errors, mount = bounds.errors, bounds.mount
    if layout.borders_face.least < mount.least_border:
        return False
    if rule.least and errors.narrowest_border(mount, layout) < rule.least:
        return False
    return rule.up_to is None or all(
        fits_either_way(one.sight.size.extended(errors.of_sight(one, one.sight)), rule.up_to)
        for one in layout.pictures
    )


def fits_either_way(size: Size, box: Size) -> bool:
    """Return whether a size fits a box, turned if necessary."""
    return box.holds(size) or box.turned.holds(size)


def _largest_where(aspect: Fraction, suits: Callable[[Size], bool]) -> tuple[Size, Side]:
    """The largest image of this aspect that suits, and the side that limits it."""
    longer: Side = "width" if aspect >= 1 else "height"
    side = largest_that(lambda nm: suits(with_side(Length(nm), aspect, longer)))
    image = with_side(Length(side), aspect, longer)
    width_holds = not suits(Size(image.width + _NUDGE, image.height))
    return image, "width" if width_holds else "height"


def largest_that(suits: Callable[[int], bool]) -> int:
    """Return the largest number of nanometres that suits, if all smaller numbers do too.

    Raises ``ValueError`` if nothing from a millimetre up does.
    """
    largest = last_that(suits, _LARGEST_SIDE.nm)
    if largest < NM_PER_MM:
        raise ValueError("no picture is small enough to fit")
    return largest


def last_that(suits: Callable[[int], bool], most: int) -> int:
    """Return the last number up to ``most`` that suits, if all below it do; 0 if none does."""
    if suits(most):
        return most
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if suits(middle) else (low, middle)
    return low
