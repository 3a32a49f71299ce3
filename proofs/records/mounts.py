"""How a print is mounted: its window, its boards and their colours."""

import enum
from dataclasses import dataclass, replace

from proofs.lengths import ZERO, Length, Size, inches, total
from proofs.records.arrangements import (
    ARRANGEMENTS_ACCEPTED,
    IN_A_ROW,
    Arrangement,
    read_arrangement,
)
from proofs.records.tables import LONGEST_BOARD, Profile, Table

_LEAST_BAR = inches("1/2")  # at the face; common practice, no source: a narrower bar breaks
_DEFAULT_BAR = inches(1)  # common practice, no source
_HEAVIEST = 20_000  # grams per square metre; thick hardboard weighs a quarter of that


class WindowKind(enum.StrEnum):
    """How much of a print its window shows, or what replaces a window."""

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
    """The place of the opening, or of all openings together, on the board."""

    CENTRED = "centred"
    BOTTOM_WEIGHTED = "bottom-weighted"
    OPTICAL_CENTRE = "optical-centre"


class BevelKind(enum.StrEnum):
    """How the blade is tilted to cut a window."""

    ORDINARY = "ordinary"
    REVERSE = "reverse"
    STRAIGHT = "straight"


GIVES_OPENINGS = (WindowKind.OVERLAP, WindowKind.REVEAL)
"""The kinds of windows for which an opening can be given, and the image follows from it."""

_OWNERS = {
    "overlap": WindowKind.OVERLAP,
    "reveal": WindowKind.REVEAL,
    "reveal_bottom": WindowKind.REVEAL,
    "gap": WindowKind.FLOAT,
    "paper": WindowKind.FLOAT,
}


@dataclass(frozen=True, slots=True)
class Mat:
    """A mat; ``shows`` is its visible width inside the mat above it, 0 for the top mat."""

    shows: Length
    thickness: Length
    colour: str = "white"
    core_colour: str = "white"


@dataclass(frozen=True, slots=True)
class Mount(Profile):
    """A mount of mat, print and backing.

    The window hides ``overlap`` of the image on each side, or leaves ``reveal`` of paper around
    it (``reveal_bottom`` below), or stays ``gap`` clear of a floating print, which shows
    ``paper`` around the image. ``hold`` is the width of paper behind the mat,
    if the paper continues there. A ``SURROUND`` is printed with the image on a sheet of the board's
    size.

    Without a mat, ``mat`` is 0 and the print lies on the backing; ``inner`` are further mats, from
    the top. ``board`` is None if the rules decide the outer size. ``opening`` is that of a top mat
    that exists, with this board: the edge that limits the view through it, which is the back of
    an ordinary bevel and the face of a reverse one. Several pictures are arranged
    by ``arrangement``, ``bar`` apart at the face; with ``common`` they share one window, with
    ``bar`` of paper between them. Weights are in grams per square metre, or None if unknown.
    """

    window: WindowKind
    backing: Length
    board: Size | None = None
    opening: Size | None = None
    bevel: BevelKind = BevelKind.ORDINARY
    placing: WindowPlacing = WindowPlacing.CENTRED
    shape: WindowShape = WindowShape.RECTANGLE
    overlap: Length = ZERO
    reveal: Length = ZERO
    reveal_bottom: Length = ZERO
    hold: Length = ZERO
    gap: Length = ZERO
    paper: Length = ZERO
    least_border: Length = ZERO
    mat: Length = ZERO
    mat_colour: str = "white"
    core_colour: str = "white"
    inner: tuple[Mat, ...] = ()
    backing_colour: str = "white"
    surround_colour: str = "white"
    keyline: Length = ZERO
    keyline_colour: str = "black"
    spacer: Length = ZERO
    tape: Length = ZERO
    arrangement: Arrangement = IN_A_ROW
    bar: Length = _DEFAULT_BAR
    common: bool = False
    mat_weight: float | None = None
    backing_weight: float | None = None

    @property
    def mats(self) -> tuple[Mat, ...]:
        """All mats, the top mat first; none without a window."""
        top = Mat(ZERO, self.mat, self.mat_colour, self.core_colour)
        return (top, *self.inner) if self.has_window else ()

    @property
    def has_window(self) -> bool:
        """Whether a mat with an opening lies on the print."""
        return bool(self.mat)

    @property
    def bevel_width(self) -> Length:
        """The width of the top mat's bevel, in plan, on each side."""
        return self.bevel_of(self.mat)

    def bevel_of(self, thickness: Length) -> Length:
        """Return the width of a mat's bevel, in plan, on each side.

        A 45° bevel is as wide as the mat is thick; a straight cut has none.
        """
        return thickness if self.bevel != BevelKind.STRAIGHT else ZERO

    def thickness(self, paper: Length) -> Length:
        """Return the thickness of the finished mount, for a print on paper of this thickness."""
        mats = (mat.thickness for mat in self.mats)
        return total((self.backing, *mats, paper, self.spacer, self.tape))


def read_mount(table: Table, name: str) -> Mount:
    """Return the mount that a profile describes."""
    mat, backing = table.table("mat"), table.table("backing")
    mount = Mount(
        *table.heading(name),
        window=table.table("window").choice("kind", WindowKind),
        board=table.size_or_none("board", most=LONGEST_BOARD),
        opening=table.size_or_none("opening", most=LONGEST_BOARD),
        least_border=table.length("least_border", default=ZERO),
        placing=table.choice("placing", WindowPlacing, default=WindowPlacing.CENTRED),
        tape=table.length("tape", default=ZERO),
        spacer=table.length("spacer", default=ZERO),
        mat=mat.length("thickness", default=ZERO),
        mat_colour=mat.text("colour", default="white"),
        core_colour=mat.text("core_colour", default="white"),
        mat_weight=mat.number_or_none("weight", least=0, most=_HEAVIEST),
        inner=tuple(_inner_mat(inner) for inner in table.tables("inner_mat")),
        backing=backing.length("thickness"),
        backing_colour=backing.text("colour", default="white"),
        backing_weight=backing.number_or_none("weight", least=0, most=_HEAVIEST),
    )
    mount = _with_window(mount, table.table("window"))
    mount = _with_group_and_surround(mount, table.table("group"), table.table("surround"))
    _check_window(table.table("window"), mat, mount)
    _check_parts(table, mount)
    if mount.opening is not None:
        _check_opening(table, mount, mount.opening)
    table.refuse_unknown()
    return mount


def _inner_mat(table: Table) -> Mat:
    mat = Mat(
        shows=table.length("shows"),
        thickness=table.length("thickness"),
        colour=table.text("colour", default="white"),
        core_colour=table.text("core_colour", default="white"),
    )
    for key in ("shows", "thickness"):
        if not getattr(mat, key):
            table.refuse(key, "more than 0, such as '1/4 in'")
    return mat


def _with_window(mount: Mount, window: Table) -> Mount:
    reveal = window.length("reveal", default=ZERO)
    return replace(
        mount,
        bevel=window.choice("bevel", BevelKind, default=BevelKind.ORDINARY),
        shape=window.choice("shape", WindowShape, default=WindowShape.RECTANGLE),
        overlap=window.length("overlap", default=ZERO),
        reveal=reveal,
        reveal_bottom=window.length("reveal_bottom", default=reveal),
        hold=window.length("hold", default=inches("1/4")),
        gap=window.length("gap", default=ZERO),
        paper=window.length("paper", default=ZERO),
    )


def _with_group_and_surround(mount: Mount, group: Table, surround: Table) -> Mount:
    return replace(
        mount,
        arrangement=group.parsed(
            "arrangement", read_arrangement, ARRANGEMENTS_ACCEPTED, default=IN_A_ROW
        ),
        bar=group.length("bar", default=_DEFAULT_BAR),
        common=group.choice("windows", ("each", "common"), default="each") == "common",
        surround_colour=surround.text("colour", default="white"),
        keyline=surround.length("keyline", default=ZERO),
        keyline_colour=surround.text("keyline_colour", default="black"),
    )


def _check_window(window: Table, mat: Table, mount: Mount) -> None:
    """Refuse what a kind of window does not have, or cannot do without."""
    kind = mount.window

    def refuse(table: Table, key: str, expected: str) -> None:
        table.refuse(key, expected, rests_on=["window.kind"])

    if kind in (WindowKind.OVERLAP, WindowKind.REVEAL) and not mount.mat:
        refuse(mat, "thickness", "the thickness of the mat, such as '1.4 mm'")
    if kind in (WindowKind.NONE, WindowKind.SURROUND) and mount.mat:
        refuse(mat, "thickness", f"no mat, because window.kind is '{kind}'")
    if kind == WindowKind.OVERLAP and not mount.overlap:
        refuse(window, "overlap", "the width that the mat hides on each side, such as '1/8 in'")
    if kind == WindowKind.REVEAL and not mount.reveal:
        refuse(window, "reveal", "the visible paper around the image, such as '1/4 in'")
    if kind == WindowKind.FLOAT and mount.mat and not mount.gap:
        gap = "the gap between opening and print, such as '1/4 in'"
        window.refuse("gap", gap, rests_on=["window.kind", "mat.thickness"])
    for key, owner in _OWNERS.items():
        if kind != owner and key in window.values and getattr(mount, key):
            refuse(window, key, f"no value, because window.kind is '{kind}'")
    if kind == WindowKind.FLOAT and mount.gap and not mount.mat:
        none = "no value, because [mat] has no thickness"
        window.refuse("gap", none, rests_on=["window.kind", "mat.thickness"])


def _check_parts(table: Table, mount: Mount) -> None:
    """Refuse parts that do not suit the kind of mount."""
    window, group = table.table("window"), table.table("group")
    kind, shape = window.at("kind"), window.at("shape")
    if mount.shape != WindowShape.RECTANGLE and mount.window != WindowKind.OVERLAP:
        plain = "'rectangle', because only a window of kind 'overlap' can be oval or round"
        window.refuse("shape", plain, rests_on=[kind])
    if mount.inner and not mount.mat:
        none = "no inner mat, because [mat] has no thickness"
        table.refuse("inner_mat", none, rests_on=["mat.thickness"])
    if mount.inner and mount.shape != WindowShape.RECTANGLE:
        none = "no inner mat, because an oval or round window is cut in one mat"
        table.refuse("inner_mat", none, rests_on=[shape])
    if mount.spacer and mount.window != WindowKind.FLOAT:
        none = "no value, because only a print of window.kind 'float' has spacers"
        table.refuse("spacer", none, rests_on=[kind])
    if table.table("surround").values and mount.window != WindowKind.SURROUND:
        none = f"no table, because window.kind is '{mount.window}'"
        table.refuse("surround", none, rests_on=[kind])
    if mount.bar < _LEAST_BAR:
        least = f"at least {_LEAST_BAR}, because a narrower bar breaks when it is cut"
        group.refuse("bar", least)
    if mount.common and mount.window != WindowKind.REVEAL:
        each = "'each', because a common window needs window.kind = 'reveal'"
        group.refuse("windows", each, rests_on=[kind])


def _check_opening(table: Table, mount: Mount, opening: Size) -> None:
    """Refuse an opening that no mat of this kind can have."""
    window = table.table("window")
    if mount.window not in GIVES_OPENINGS:
        none = f"no value, because window.kind is '{mount.window}'"
        table.refuse("opening", none, rests_on=[window.at("kind")])
    if mount.board is None:
        whole = "the outer size of the mat that has the opening, such as '16x20 in'"
        table.refuse("board", whole, rests_on=["opening"])
    elif not _leaves_borders(mount.board, opening):
        smaller = f"an opening that leaves borders on a board of {mount.board}"
        table.refuse("opening", smaller, rests_on=["board"])
    if mount.shape == WindowShape.ROUND and opening.width != opening.height:
        square = "equal sides such as '8x8 in', because window.shape is 'round'"
        table.refuse("opening", square, rests_on=[window.at("shape")])


def _leaves_borders(board: Size, opening: Size) -> bool:
    return opening.longest < board.longest and opening.shortest < board.shortest
