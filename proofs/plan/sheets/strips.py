"""A test strip's sheet: its parts, in whole pixels of the lab's file, and what a step shows.

Whole pixels, because a step on the sheet is a cut-out of the print's own pixels: rounded
lengths would leave slivers between neighbours that are to touch.
"""

from dataclasses import dataclass, replace

from proofs.lengths import Length, PixelSize, Size, inches
from proofs.pixel_areas import Area, pixels, pixels_at_least, size_in_pixels
from proofs.plan.entry.sizing import Crop
from proofs.records.labs import Lab

BETWEEN = inches("1/4")
"""The mat white between two steps; common practice, no source."""

LEAST_STEP = Size(inches("3/2"), inches(2))
"""What a step shows at least; smaller crops are judged by their edges (common practice)."""

LABEL_ROOM = inches("1/5")
"""The room below a step for its label."""

USUAL_SHEET = Size(inches(8), inches(10))

_MARKS_INSIDE = inches("1/8")  # from what the lab may trim to the corner marks
_INSIDE_MARKS = inches("1/8")  # from the corner marks to all else
_BELOW_HEAD = inches("1/8")


@dataclass(frozen=True, slots=True)
class StripFrame:
    """What all sheets of a run share.

    ``marks`` has the four corner marks on its corners; ``head``, ``body`` and ``foot`` lie
    below one another inside it. The body is a grid of ``columns`` and ``rows``: each cell
    holds a step of at most ``step`` with its label below, ``gap`` from the next.
    """

    sheet: PixelSize
    ppi: int
    marks: Area
    head: Area
    body: Area
    foot: Area
    columns: int
    rows: int
    step: PixelSize
    gap: int

    @property
    def label_room(self) -> int:
        """The height of a label, in pixels."""
        return pixels(LABEL_ROOM, self.ppi)

    def cell(self, column: int, row: int) -> tuple[int, int]:
        """Return left and top of a cell of the grid."""
        across, down = self.step.width + self.gap, self.step.height + self.label_room + self.gap
        return self.body.left + column * across, self.body.top + row * down

    def with_columns(self, columns: int) -> "StripFrame":
        """Return the frame with so many columns, its steps as wide as they then can be."""
        width = (self.body.width + self.gap) // columns - self.gap
        return replace(self, columns=columns, step=PixelSize(width, self.step.height))


def sheet_of(lab: Lab, wish: Size | None) -> Size:
    """Return the stock sheet for test strips: the one asked for, lying as it was asked for.

    By default 8x10 in, upright, or the stock sheet that has most nearly its area. Raises
    ``ValueError`` where the lab does not sell the sheet asked for.
    """
    upright = [s if s.is_portrait else s.turned for s in lab.sheets]
    if wish is None:
        usual = USUAL_SHEET.square_nm
        return min(upright, key=lambda s: abs(s.square_nm - usual), default=USUAL_SHEET)
    if upright and (wish if wish.is_portrait else wish.turned) not in upright:
        sold = "; ".join(str(s) for s in upright)
        raise ValueError(f"{wish} is no sheet of the lab {lab.name}; it sells {sold}")
    return wish


def strip_frame(lab: Lab, sheet: Size, *, head: Length, foot: Length) -> StripFrame:
    """Return the frame of a sheet whose head and foot take these heights.

    Everything lies inside what the lab may trim. The steps grow until they fill the body.
    Raises ``ValueError`` where not one step fits.
    """
    ppi = lab.ppi
    whole = size_in_pixels(sheet, ppi)
    marks = Area.of(whole).grown(-pixels_at_least(margin_of(lab), ppi))
    inside = marks.grown(-pixels_at_least(_INSIDE_MARKS, ppi))
    head_px, foot_px = pixels_at_least(head, ppi), pixels_at_least(foot, ppi)
    space = pixels_at_least(_BELOW_HEAD, ppi)
    left, width = inside.left, inside.width
    body = Area(
        left, inside.top + head_px + space, width, inside.height - head_px - foot_px - 2 * space
    )
    gap, label = pixels_at_least(BETWEEN, ppi), pixels(LABEL_ROOM, ppi)
    least_width = pixels_at_least(LEAST_STEP.width, ppi)
    least_height = pixels_at_least(LEAST_STEP.height, ppi)
    columns = (width + gap) // (least_width + gap)
    rows = (body.height + gap) // (least_height + label + gap)
    if columns < 1 or rows < 1:
        raise ValueError(f"a sheet of {sheet} is too small for a test strip; name a larger one")
    step = PixelSize(
        (width + gap) // columns - gap,
        (body.height + gap) // rows - gap - label,
    )
    head_area = Area(left, inside.top, width, head_px)
    foot_area = Area(left, inside.bottom - foot_px, width, foot_px)
    return StripFrame(whole, ppi, marks, head_area, body, foot_area, columns, rows, step, gap)


def type_width(lab: Lab, sheet: Size) -> Length:
    """Return the width between the margins, for setting what stands at head and foot."""
    return sheet.grown(-margin_of(lab)).grown(-_INSIDE_MARKS).width


def margin_of(lab: Lab) -> Length:
    """Return how far the corner marks lie from the edge of the sheet."""
    return max(lab.margin, lab.edge_loss) + _MARKS_INSIDE


def step_size(print_size: PixelSize, frame: StripFrame) -> PixelSize:
    """Return what a step shows of a print: all that a cell holds, or the whole of a small print."""
    return PixelSize(
        min(print_size.width, frame.step.width), min(print_size.height, frame.step.height)
    )


def step_crop(print_size: PixelSize, size: PixelSize, centre: tuple[float, float]) -> Crop:
    """Return the part of a print, in its own pixels, round a point as far as the print goes.

    ``centre`` is given as shares of width and height, 0 to 1, from the left and the top.
    """
    x, y = centre
    left = round(x * print_size.width - size.width / 2)
    top = round(y * print_size.height - size.height / 2)
    return Crop(
        max(0, min(left, print_size.width - size.width)),
        max(0, min(top, print_size.height - size.height)),
        size.width,
        size.height,
    )
