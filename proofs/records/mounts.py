"""How a print is mounted: window or none, what the mat hides or leaves, boards and colours."""

import enum
from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Size, inches, total
from proofs.records.arrangements import EXPECTED, ROW, Arrangement, read_arrangement
from proofs.records.tables import Table

_LEAST_BAR = inches("1/2")  # at the face; common practice, no source: a narrower one breaks
_USUAL_BAR = inches(1)  # common practice, no source
_HEAVIEST = 20_000  # grams a square metre; thick hardboard weighs a quarter of that


class WindowKind(enum.StrEnum):
    """What the limiting edge of a window does to the print, if there is a window at all."""

    OVERLAP = "overlap"
    REVEAL = "reveal"
    FLOAT = "float"
    SURROUND = "surround"
    NONE = "none"


class WindowShape(enum.StrEnum):
    """The outline of a window."""

    RECTANGLE = "rectangle"
    OVAL = "oval"
    ROUND = "round"


class WindowPlacing(enum.StrEnum):
    """Where the openings lie on the board."""

    CENTRED = "centred"
    BOTTOM_WEIGHTED = "bottom-weighted"
    OPTICAL_CENTRE = "optical-centre"


class BevelKind(enum.StrEnum):
    """How the blade leans when a window is cut."""

    ORDINARY = "ordinary"
    REVERSE = "reverse"
    STRAIGHT = "straight"


_OWNERS = {
    "overlap": WindowKind.OVERLAP,
    "reveal": WindowKind.REVEAL,
    "reveal_bottom": WindowKind.REVEAL,
    "gap": WindowKind.FLOAT,
    "paper": WindowKind.FLOAT,
}


@dataclass(frozen=True, slots=True)
class InnerMat:
    """A mat below the first one; ``shows`` is how wide it is seen inside the mat above it."""

    shows: Length
    thickness: Length
    colour: str = "white"
    core_colour: str = "white"


@dataclass(frozen=True, slots=True)
class Mount:
    """The whole of mat, print and backing.

    ``window`` says what the limiting edge of the opening does: hide ``overlap`` of the image
    on each side, leave ``reveal`` of paper round it (``reveal_bottom`` below), or stand
    ``gap`` off a floating print, of which ``paper`` is seen round the image. ``hold`` is the
    paper that must lie behind the mat where paper runs on there. In a ``surround`` the image
    is printed with its surround on a sheet of the board's size. Without a mat ``mat`` is
    nothing and the print lies on the backing; ``inner`` holds further mats, from above.
    ``board`` is None where the rules decide the outer size. Several pictures lie as
    ``arrangement`` says, ``bar`` apart at the face; with ``common`` they share one window,
    ``bar`` of paper between them. Weights are in grams a square metre, None where the
    profile names none.
    """

    name: str
    title: str
    source: str
    window: WindowKind
    backing: Length
    board: Size | None = None
    bevel: BevelKind = BevelKind.ORDINARY
    placing: WindowPlacing = WindowPlacing.CENTRED
    shape: WindowShape = WindowShape.RECTANGLE
    overlap: Length = ZERO
    reveal: Length = ZERO
    reveal_bottom: Length = ZERO
    hold: Length = ZERO
    gap: Length = ZERO
    paper: Length = ZERO
    least_overlap: Length = ZERO
    least_border: Length = ZERO
    mat: Length = ZERO
    mat_colour: str = "white"
    core_colour: str = "white"
    inner: tuple[InnerMat, ...] = ()
    backing_colour: str = "white"
    surround_colour: str = "white"
    keyline: Length = ZERO
    keyline_colour: str = "black"
    spacer: Length = ZERO
    tape: Length = ZERO
    arrangement: Arrangement = ROW
    bar: Length = _USUAL_BAR
    common: bool = False
    mat_weight: float | None = None
    backing_weight: float | None = None

    @property
    def has_window(self) -> bool:
        """Whether a mat with an opening lies on the print."""
        return bool(self.mat)

    @property
    def bevel_width(self) -> Length:
        """How much farther one edge of the first mat's opening lies out than the other."""
        return self.bevel_of(self.mat)

    def bevel_of(self, thickness: Length) -> Length:
        """Return how wide the bevel of a mat is, in plan, on each side.

        A 45° bevel of board t thick is t wide in plan; a straight cut is none.
        """
        return thickness if self.bevel != BevelKind.STRAIGHT else ZERO

    def thickness(self, paper: Length) -> Length:
        """Return the thickness of the finished mount with a print on ``paper`` this thick."""
        mats = (self.mat, *(mat.thickness for mat in self.inner))
        return total((self.backing, *mats, paper, self.spacer, self.tape))


def read_mount(table: Table, name: str) -> Mount:
    """Return the mount that a profile describes.

    Raises ``ProfileError`` with the key, what was found and what is expected.
    """
    window, mat, backing = table.table("window"), table.table("mat"), table.table("backing")
    group, surround = table.table("group"), table.table("surround")
    reveal = window.length("reveal", default=ZERO)
    overlap = window.length("overlap", default=ZERO)
    mount = Mount(
        name=name,
        title=table.text("title"),
        source=table.text("source"),
        window=window.choice("kind", WindowKind),
        board=table.size_or_none("board"),
        least_border=table.length("least_border", default=ZERO),
        placing=table.choice("placing", WindowPlacing, default=WindowPlacing.CENTRED),
        tape=table.length("tape", default=ZERO),
        spacer=table.length("spacer", default=ZERO),
        bevel=window.choice("bevel", BevelKind, default=BevelKind.ORDINARY),
        shape=window.choice("shape", WindowShape, default=WindowShape.RECTANGLE),
        overlap=overlap,
        least_overlap=window.length("least_overlap", default=overlap),
        reveal=reveal,
        reveal_bottom=window.length("reveal_bottom", default=reveal),
        hold=window.length("hold", default=inches("1/4")),
        gap=window.length("gap", default=ZERO),
        paper=window.length("paper", default=ZERO),
        mat=mat.length("thickness", default=ZERO),
        mat_colour=mat.text("colour", default="white"),
        core_colour=mat.text("core_colour", default="white"),
        inner=tuple(_inner_mat(inner) for inner in table.tables("inner_mat")),
        backing=backing.length("thickness"),
        backing_colour=backing.text("colour", default="white"),
        surround_colour=surround.text("colour", default="white"),
        keyline=surround.length("keyline", default=ZERO),
        keyline_colour=surround.text("keyline_colour", default="black"),
        arrangement=group.parsed("arrangement", read_arrangement, EXPECTED, default=ROW),
        bar=group.length("bar", default=_USUAL_BAR),
        common=group.choice("windows", ("each", "common"), default="each") == "common",
        mat_weight=mat.number_or_none("weight", least=0, most=_HEAVIEST),
        backing_weight=backing.number_or_none("weight", least=0, most=_HEAVIEST),
    )
    _check(window, mat, mount)
    _check_parts(table, mount)
    for part in (window, mat, backing, group, surround, table):
        part.done()
    return mount


def _inner_mat(table: Table) -> InnerMat:
    mat = InnerMat(
        shows=table.length("shows"),
        thickness=table.length("thickness"),
        colour=table.text("colour", default="white"),
        core_colour=table.text("core_colour", default="white"),
    )
    if not mat.shows or not mat.thickness:
        key = "thickness" if mat.shows else "shows"
        raise table.wrong(key, "more than nothing, such as '1/4 in'")
    table.done()
    return mat


def _check(window: Table, mat: Table, mount: Mount) -> None:
    kind = mount.window
    if kind in (WindowKind.OVERLAP, WindowKind.REVEAL) and not mount.mat:
        raise mat.wrong("thickness", "how thick the mat is, such as '1.4 mm'")
    if kind in (WindowKind.NONE, WindowKind.SURROUND) and mount.mat:
        raise mat.wrong("thickness", f"no mat: window.kind is '{kind}'")
    if kind == WindowKind.OVERLAP and not mount.overlap:
        raise window.wrong("overlap", "how much the mat hides on each side, such as '1/8 in'")
    if kind == WindowKind.REVEAL and not mount.reveal:
        raise window.wrong("reveal", "how much paper is seen round the image, such as '1/4 in'")
    if kind == WindowKind.FLOAT and mount.mat and not mount.gap:
        raise window.wrong("gap", "how far the opening stands off the print, such as '1/4 in'")
    for key, owner in _OWNERS.items():
        if kind != owner and getattr(mount, key):
            raise window.wrong(key, f"nothing: window.kind is '{kind}'")
    if mount.gap and not mount.mat:
        raise window.wrong("gap", "nothing, or a mat to stand off: [mat] has no thickness")
    if mount.least_overlap > mount.overlap:
        raise window.wrong("least_overlap", f"at most {mount.overlap}, which is overlap")


def _check_parts(table: Table, mount: Mount) -> None:
    """Refuse parts that the kind of mount has no use for."""
    if mount.shape != WindowShape.RECTANGLE and mount.window != WindowKind.OVERLAP:
        window = table.table("window")
        raise window.wrong("shape", "'rectangle': only a mat that overlaps is cut oval or round")
    if mount.inner and not mount.mat:
        raise table.wrong("inner_mat", "no inner mat where there is no first one")
    if mount.inner and mount.shape != WindowShape.RECTANGLE:
        raise table.wrong("inner_mat", "one mat: an oval or round window is cut in one board")
    if mount.spacer and mount.window != WindowKind.FLOAT:
        raise table.wrong("spacer", "nothing: only a floating print stands on spacers")
    group, surround = table.table("group"), table.table("surround")
    if surround.values and mount.window != WindowKind.SURROUND:
        raise table.wrong("surround", f"nothing: window.kind is '{mount.window}'")
    if mount.bar < _LEAST_BAR:
        raise group.wrong("bar", f"at least {_LEAST_BAR}: a narrower bar breaks when it is cut")
    if mount.common and mount.window != WindowKind.REVEAL:
        raise group.wrong("windows", "'each': a common window wants window.kind = 'reveal'")
