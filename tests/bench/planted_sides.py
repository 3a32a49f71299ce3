"""Borders, strokes and lost edges planted along the sides of a picture, and what is found."""

import numpy as np
import pyvips

from proofs.inspection.marks import Lab, Mark, MarkKind
from proofs.inspection.print_view import PrintView
from proofs.lengths import Edge
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.print_sides import border_marks, lost_edge_marks
from proofs.records.inspections import InspectionProfile
from tests.bench.prints import PPI, PrintPicture
from tests.inspection.planting import Codes

MM = PPI / 25.4
COLOURS = (
    *((255, 255, 255), (244, 240, 230), (0, 0, 0), (20, 20, 22), (128, 128, 128)),
    *((200, 20, 30), (25, 40, 160)),
)
MATS: dict[str, tuple[tuple[int, int, int], Lab]] = {
    # Codes of sRGB, and their CIELAB for D50 (by the ICC's formulae, worked out apart).
    "off-white": ((250, 249, 245), (97.96, -0.27, 1.99)),
    "black": ((20, 20, 20), (6.32, 0.0, 0.0)),
}
_LEAST_STEP = 12  # codes


def base_of(codes: Codes) -> ProfiledImage:
    """Return pixels of sRGB as the base of a print."""
    image = vips.image_of_codes(codes.astype(np.uint16) * 257)
    return ProfiledImage(image, spaces.built_in_profile("srgb"))


def border_case(picture: PrintPicture, profile: InspectionProfile, seed: int) -> tuple[bool, str]:
    """Plant a border, a hairline, a turned border or a stroke; return whether all is right."""
    random = np.random.default_rng(seed)
    colour = COLOURS[int(random.integers(len(COLOURS)))]
    sides = list(random.permutation(list(Edge))[: int(random.integers(1, 5))])
    sides = [Edge(side) for side in sides]
    kind = ("border", "mixed", "soft", "stroke", "turned")[int(random.integers(5))]
    width = round(float(np.exp(random.uniform(0, np.log(3 * MM)))))
    if kind == "turned":
        width += 3  # so that it is one along the whole side
    codes = picture.codes.copy()
    if kind == "stroke":
        codes, sides, width = _with_stroke(codes, colour, random), list(Edge), 0
    else:
        codes = _with_border(codes, colour, sides, width, kind)
    sides = [s for s in sides if kind == "stroke" or _steps(picture.codes, colour, s, width)]
    view = PrintView(PPI, {}, (("A", 0.0),), 9.0)
    wanted = MarkKind.STROKE if kind == "stroke" else MarkKind.BORDER
    marks = [m for m in border_marks(base_of(codes), view, profile.borders) if m.kind == wanted]
    found = {m.side for m in marks}
    words = f"{picture.name} {kind} {width} px of {colour} at {[str(s) for s in sides]}"
    widths = [round((m.width_mm or 0) * MM, 1) for m in marks]
    is_right = set(sides) <= found and (kind == "stroke" or _are_wide(marks, width, kind))
    return is_right, f"{words}: found {sorted(str(s) for s in found)}, {widths} px"


def clean_crop_cases(
    picture: PrintPicture, profile: InspectionProfile, seed: int
) -> list[tuple[int, str]]:
    """Cut a picture in five ways; return the number of borders and strokes in each, and where."""
    random = np.random.default_rng(seed)
    cases = []
    for _ in range(5):
        height, width = (
            round(side * random.uniform(0.4, 0.95)) for side in picture.codes.shape[:2]
        )
        top = int(random.integers(picture.codes.shape[0] - height))
        left = int(random.integers(picture.codes.shape[1] - width))
        codes = np.ascontiguousarray(picture.codes[top : top + height, left : left + width])
        view = PrintView(PPI, {}, (("A", 0.0),), 9.0)
        marks = list(border_marks(base_of(codes), view, profile.borders))
        sides = [str(mark.side) for mark in marks]
        cases.append((len(marks), f"{picture.name} {width}x{height}+{left}+{top} {sides}"))
    return cases


def _are_wide(marks: list[Mark], width: int, kind: str) -> bool:
    off = 3.0 if kind in ("soft", "turned") else 1.5
    return all(abs((m.width_mm or 0) * MM - width) <= off for m in marks)


def _steps(codes: Codes, colour: tuple[int, int, int], side: Edge, width: int) -> bool:
    """Whether the border differs from the picture by enough codes along most of a side."""
    turned = _turned(codes, side)
    lines = turned[width + 1 : width + 4].astype(int)
    differs = (np.abs(lines - colour).max(axis=2) > _LEAST_STEP).any(axis=0)
    return bool(differs.mean() >= 0.6)


def _turned(codes: Codes, side: Edge) -> Codes:
    """A view with a side at the top."""
    views = {
        Edge.TOP: codes,
        Edge.BOTTOM: codes[::-1],
        Edge.LEFT: codes.swapaxes(0, 1),
        Edge.RIGHT: codes.swapaxes(0, 1)[::-1],
    }
    return views[side]


def _with_border(
    codes: Codes, colour: tuple[int, int, int], sides: list[Edge], width: int, kind: str
) -> Codes:
    for side in sides:
        view = _turned(codes, side)
        if kind == "turned":
            along = view.shape[1]
            rise = np.linspace(-2, 2, along)
            depth = np.maximum(width + rise, 0.5)
            cover = np.clip(depth - np.arange(width + 4)[:, None], 0, 1)[..., None]
            part = view[: width + 4]
            view[: width + 4] = np.rint(part * (1 - cover) + cover * np.array(colour))
        else:
            view[:width] = colour
        if kind == "mixed":
            view[width] = np.rint(0.5 * view[width] + 0.5 * np.array(colour))
    return _softened(codes) if kind == "soft" else codes


def _softened(codes: Codes) -> Codes:
    """A picture as if it had been enlarged together with its border."""
    image = pyvips.Image.new_from_array(codes, interpretation="srgb")
    small = image.resize(0.5, kernel="lanczos3")
    large = small.resize(image.width / small.width, vscale=image.height / small.height)
    return np.ascontiguousarray(large.numpy())


def _with_stroke(codes: Codes, colour: tuple[int, int, int], random: np.random.Generator) -> Codes:
    """A picture within a white or toned margin that has a line of another colour in it."""
    margins = ((255, 255, 255), (235, 230, 220), (30, 30, 30))
    apart = [m for m in margins if np.abs(np.subtract(m, colour)).max() > 40]
    margin = apart[int(random.integers(len(apart)))]
    wide = round(float(random.uniform(2, 12)) * MM)
    frame = np.empty_like(codes)
    frame[:] = margin
    first = round(wide * float(random.uniform(0.25, 0.75)))
    line = max(1, round(float(np.exp(random.uniform(0, np.log(0.25 * wide))))))
    frame[first:-first, first:-first] = colour
    inner = first + line
    frame[inner:-inner, inner:-inner] = margin
    frame[wide:-wide, wide:-wide] = codes[wide:-wide, wide:-wide]
    return frame


def lost_edge_case(
    picture: PrintPicture, profile: InspectionProfile, seed: int
) -> tuple[bool, str]:
    """Fade a stretch of one side to the colour of a mat; return whether it alone is found."""
    random = np.random.default_rng(seed)
    name = ("off-white", "black")[int(random.integers(2))]
    code, mat = MATS[name]
    side = list(Edge)[int(random.integers(4))]
    view = PrintView(PPI, dict.fromkeys(Edge, mat), (("A", 0.0),), 9.0)
    limits = profile.lost_edges
    before = {m.side for m in lost_edge_marks(base_of(picture.codes), view, limits)}
    codes = picture.codes.copy()
    part = _turned(codes, side)
    along = part.shape[1]
    length = max(round(14 * MM), round(float(random.uniform(0.2, 1)) * along))
    first = int(random.uniform(0, max(1, along - length)))
    depth = round(float(random.uniform(6, 25)) * MM)
    flat = round(1.5 * MM)  # the fade has its end before the edge
    fade = np.clip((np.arange(depth) - flat) / (depth - flat), 0, 1)[:, None, None]
    stretch = part[:depth, first : first + length]
    part[:depth, first : first + length] = np.rint(stretch * fade + (1 - fade) * np.array(code))
    marks = [m for m in lost_edge_marks(base_of(codes), view, limits) if m.side == side]
    after = {m.side for m in lost_edge_marks(base_of(codes), view, limits)}
    covered = sum(m.length_mm or 0 for m in marks) * MM
    # A stretch that reaches a corner is lost along the next side too.
    corners = {s for s in Edge if s != side} if first < depth or first + length > along - 2 else {0}
    new = after - before - {side} - corners
    is_right = covered >= 0.9 * length and not new
    words = f"{picture.name} {side} {length / MM:.0f} mm to {name}: {covered / MM:.0f} mm, {new}"
    return is_right, words
