"""The sheet of a test strip: its parts, and how much of a print a step shows.

Steps are placed in whole pixels of the lab's file, because a step is a crop of the print's pixels:
rounded lengths would leave slivers between neighbours that should touch.
"""

from dataclasses import dataclass, replace

from proofs.lengths import ZERO, Length, PixelSize, Place, Size, inches, millimetres
from proofs.pixel_areas import Area, pixels, pixels_at_least, size_in_pixels
from proofs.plan.tones.wedge import Patch, wedge_size
from proofs.records.labs import Lab

BETWEEN = inches("1/4")
"""The white between two steps; common practice, no source."""

LEAST_STEP = Size(inches("3/2"), inches(2))
"""The least that a step shows: people judge smaller crops by their edges (common practice)."""

LABEL_ROOM = inches("1/5")
"""The room for a label below a step."""

USUAL_SHEET = Size(inches(8), inches(10))

RULE_INCHES, RULE_MM = 4, 100
"""The lengths of the two scales of the printed rule, which share their zero."""

RULE_HEIGHT = inches("5/16")

_MARKS_INSIDE = inches("1/8")  # from what the lab may trim to the corner marks
_INSIDE_MARKS = inches("1/8")  # from the corner marks to everything else
_BELOW_HEAD = inches("1/8")
_WEDGE = inches(3)
_SPACE = inches("1/4")
_CAPTION = inches("5/32")
_PATCH_HEIGHT = inches("3/16")
_BLACK, _WHITE = 0.0, 100.0  # L*


@dataclass(frozen=True, slots=True)
class StripFrame:
    """The layout that all sheets of a run share.

    ``marks`` has a corner mark at each corner; ``head``, ``body`` and ``foot`` follow one below
    the other inside it. The body is a grid of ``columns`` and ``rows``: each cell holds a step
    of at most ``step`` with its label below it, and the next cell is ``gap`` away.
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
        """Return the left and top of a cell of the grid."""
        across, down = self.step.width + self.gap, self.step.height + self.label_room + self.gap
        return self.body.left + column * across, self.body.top + row * down

    def with_columns(self, columns: int) -> "StripFrame":
        """Return the frame with this many columns and steps as wide as that allows."""
        width = (self.body.width + self.gap) // columns - self.gap
        return replace(self, columns=columns, step=PixelSize(width, self.step.height))


def sheet_of(lab: Lab, wish: Size | None) -> Size:
    """Return the paper sheet for test strips: the one asked for, the way up it was written.

    By default it is 8x10 in, upright, or the lab's sheet with the nearest area. Raises
    ``ValueError`` if the lab does not sell the sheet asked for.
    """
    upright = [s if s.is_portrait else s.turned for s in lab.sheets]
    if wish is None:
        usual = USUAL_SHEET.square_nm
        return min(upright, key=lambda s: abs(s.square_nm - usual), default=USUAL_SHEET)
    if upright and (wish if wish.is_portrait else wish.turned) not in upright:
        sold = "; ".join(str(s) for s in upright)
        raise ValueError(f"the lab {lab.name} sells no sheet of {wish}; it sells {sold}")
    return wish


def strip_frame(lab: Lab, sheet: Size, *, head: Length, foot: Length) -> StripFrame:
    """Return the frame of a sheet with a head and a foot of these heights.

    Everything stays clear of what the lab may trim. The steps fill the body. Raises
    ``ValueError`` if the sheet is too small for a single step.
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
    """Return the width between the margins, for the text at head and foot."""
    return sheet.grown(-margin_of(lab)).grown(-_INSIDE_MARKS).width


def margin_of(lab: Lab) -> Length:
    """Return the distance of the corner marks from the edge of the sheet."""
    return max(lab.margin, lab.edge_loss) + _MARKS_INSIDE


def step_size(print_size: PixelSize, frame: StripFrame) -> PixelSize:
    """Return how much of a print a step shows: as much as a cell holds, or all of a small print."""
    return PixelSize(
        min(print_size.width, frame.step.width), min(print_size.height, frame.step.height)
    )


def step_crop(print_size: PixelSize, size: PixelSize, centre: tuple[float, float]) -> Area:
    """Return the part of a print, in its own pixels, that is round a point and within the print.

    ``centre`` is a share of the width and one of the height, 0 to 1, from the left and the top.
    """
    x, y = centre
    left = round(x * print_size.width - size.width / 2)
    top = round(y * print_size.height - size.height / 2)
    return Area.of(
        size,
        max(0, min(left, print_size.width - size.width)),
        max(0, min(top, print_size.height - size.height)),
    )


@dataclass(frozen=True, slots=True)
class StripFoot:
    """The foot of a sheet: grey wedge, paper white, full black and a rule, from its top left.

    Each has its caption below it.
    """

    height: Length
    wedge: Place
    wedge_width: Length
    white: Patch
    black: Patch
    rule: Place


def foot_of(width: Length) -> StripFoot:
    """Return the foot of a sheet of this width between its margins.

    If there is room, the rule is next to the wedge, below the patches; otherwise below the wedge.
    Raises ``ValueError`` if the sheet is too narrow for the rule.
    """
    rule = inches(RULE_INCHES)
    if width < rule + inches("1/8"):
        raise ValueError(
            f"{width} between the margins is too narrow for a rule of {RULE_INCHES} in;"
            " name a larger sheet"
        )
    wedge = wedge_size(_WEDGE)
    if width >= _WEDGE + _SPACE + rule:
        left = width - rule - millimetres("0.3")  # its last tick has a width too
        patch = Size((width - left - _SPACE) // 2, _PATCH_HEIGHT)
        black = Place(left + patch.width + _SPACE, ZERO)
        below = Place(left, _PATCH_HEIGHT + _CAPTION + inches("1/32"))
    else:
        left = _WEDGE + inches("1/8")
        patch = Size(width - left, _PATCH_HEIGHT)
        black = Place(left, _PATCH_HEIGHT + _CAPTION)
        below = Place(ZERO, wedge.height + _CAPTION + inches("1/16"))
    return StripFoot(
        height=max(below.y + RULE_HEIGHT, wedge.height + _CAPTION),
        wedge=Place(ZERO, ZERO),
        wedge_width=_WEDGE,
        white=Patch(_WHITE, Place(left, ZERO), patch),
        black=Patch(_BLACK, black, patch),
        rule=below,
    )
