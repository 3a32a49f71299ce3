"""Images for openings that are given: a mat that is cut already, or a frame of a standard size.

Elsewhere the opening follows from the image; here the image follows from the opening.
"""

from collections.abc import Iterable, Sequence

from proofs.lengths import ZERO, Size
from proofs.plan.entry.board import GivenOpening, Layout, Opening
from proofs.plan.entry.layout import limiting_size, paper_round
from proofs.plan.entry.sizing import ImageSize, PrintShape, Side, with_side
from proofs.records.cells import Orientation
from proofs.records.mounts import GIVES_OPENINGS, Mount, WindowKind, WindowShape
from proofs.records.size_and_crop import CropPlace, SizeKind, SizeWish


class OffBoardError(ValueError):
    """A given opening leaves no border on its board."""


def wishes_for(mount: Mount, sizes: Sequence[SizeWish]) -> tuple[SizeWish, ...]:
    """Return the sizes of an entry; where the mount gives an opening, a blank cell asks for that.

    An opening in the cell comes before that of the mount. Raises ``ValueError`` for any other size
    on a mount whose opening is given.
    """
    if mount.opening is None or all(wish.kind == SizeKind.OPENING for wish in sizes):
        return tuple(sizes)
    other = [wish for wish in sizes if wish.kind != SizeKind.LARGEST]
    if other:
        raise ValueError(
            f"size: {other[0]}, but the mount {mount.name!r} gives an opening of {mount.opening};"
            " leave the cell blank, write another opening such as 'opening 10x8 in', or name"
            " another mount"
        )
    return (SizeWish(SizeKind.OPENING, box=mount.opening),)


def given_opening(wish: SizeWish, shape: PrintShape, mount: Mount) -> GivenOpening | None:
    """Return the opening that a wish gives, as it hangs; None if it gives none.

    It lies like the picture; for a square picture it lies as it is written. Raises ``ValueError``
    if the mount cannot have it.
    """
    if wish.kind != SizeKind.OPENING or wish.box is None:
        return None
    if mount.window not in GIVES_OPENINGS:
        raise ValueError(
            f"size: {wish}, but the mount {mount.name!r} is of the kind '{mount.window}': only a"
            " mat that overlaps the print, or leaves a reveal, can give its opening; name another"
            " mount, or leave the cell blank"
        )
    box = wish.box
    if mount.shape == WindowShape.ROUND and box.width != box.height:
        raise ValueError(
            f"size: {wish}, but the window of {mount.name!r} is round; write equal sides"
        )
    if (shape.aspect > 1 and box.is_portrait) or (shape.aspect < 1 and box.turned.is_portrait):
        box = box.turned
    hides = mount.window == WindowKind.OVERLAP
    return GivenOpening(box, shape.crop.place if shape.crop and hides else CropPlace.CENTRE)


def image_for(given: GivenOpening, shape: PrintShape, mount: Mount) -> ImageSize:
    """Return the image of this shape for a given opening.

    It is the smallest that reaches behind the mat by its overlap on every side, or the largest
    that leaves the reveal on every side. Raises ``ValueError`` if there is none.
    """
    room, aspect = room_for(given, mount), shape.aspect
    # With the width of the room it may be too low to cover the room, or too high to fit into it.
    is_high_enough = room.width.nm >= room.height.nm * aspect
    decides: Side = "width" if is_high_enough == (mount.window == WindowKind.OVERLAP) else "height"
    size = with_side(room.width if decides == "width" else room.height, aspect, decides)
    return ImageSize(size, aspect, "both" if shape.is_cropped else decides, given)


def room_for(given: GivenOpening, mount: Mount) -> Size:
    """Return what the image must cover behind a given opening, or may fill inside its reveal.

    Raises ``ValueError`` if nothing of an image is seen there.
    """
    seen = Opening(limiting_size(mount, given.size, given))
    room = seen.inside(paper_round(mount)).size
    if min(seen.size.shortest, room.shortest) <= ZERO:
        raise ValueError(
            f"an opening of {given.size} leaves nothing visible inside the mount {mount.name!r};"
            " write a larger one"
        )
    return room


def refuse_off_board(layout: Layout, openings: Iterable[GivenOpening | None]) -> None:
    """Raise ``OffBoardError`` for given openings that leave no border on their board.

    ``openings`` holds that of each picture, None where it follows from the image.
    """
    given = [opening for opening in openings if opening is not None]
    if given and min(layout.borders_back.least, layout.borders_face.least) <= ZERO:
        what = f"an opening of {given[0].size} leaves"
        if len(layout.pictures) > 1:
            what = "these openings leave"
        raise OffBoardError(
            f"{what} no border on a board of {layout.board}; write a smaller one, or name a mount"
            " with a larger board"
        )


def way_up(wishes: Sequence[SizeWish], shapes: Sequence[PrintShape]) -> Orientation | None:
    """Return the way up of the board that a given opening decides, None if the picture decides.

    A square picture is neither landscape nor portrait, so its board lies as its opening is written.
    """
    box = wishes[0].box if wishes[0].kind == SizeKind.OPENING else None
    if box is None or len(shapes) > 1 or shapes[0].aspect != 1 or box.width == box.height:
        return None
    return Orientation.PORTRAIT if box.is_portrait else Orientation.LANDSCAPE


def refuse_idle_places(
    shapes: Iterable[PrintShape], openings: Iterable[GivenOpening | None], mount: Mount
) -> None:
    """Raise ``ValueError`` for a crop that only names a place, where no given opening needs one."""
    for shape, opening in zip(shapes, openings, strict=True):
        idle = opening is None or mount.window != WindowKind.OVERLAP
        if idle and shape.crop is not None and shape.crop.aspect is None:
            place = shape.crop.place
            raise ValueError(
                f"crop: '{place}' names no shape, and a place alone is for a given opening"
                f" whose mat overlaps the picture; write a shape too, such as '4x5 {place}'"
            )
