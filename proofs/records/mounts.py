"""How a print is mounted: window or none, what the mat hides or leaves, boards and colours."""

from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Size, inches, total
from proofs.records.tables import Table

WINDOWS = ("overlap", "reveal", "none")
BEVELS = ("ordinary", "reverse", "straight")
PLACINGS = ("centred", "bottom-weighted", "optical-centre")


@dataclass(frozen=True, slots=True)
class Mount:
    """The whole of mat, print and backing.

    ``window`` says what the limiting edge of the opening does: hide ``overlap`` of the image
    on each side, or leave ``reveal`` of paper round it (``reveal_bottom`` below). ``hold`` is
    the paper that must lie behind the mat where paper is seen. Without a window there is no
    mat: ``mats`` is empty and the print lies on the backing. ``board`` is None where the
    rules decide the outer size.
    """

    name: str
    title: str
    source: str
    window: str
    backing: Length
    board: Size | None = None
    bevel: str = "ordinary"
    placing: str = "centred"
    overlap: Length = ZERO
    reveal: Length = ZERO
    reveal_bottom: Length = ZERO
    hold: Length = ZERO
    least_overlap: Length = ZERO
    least_border: Length = ZERO
    mat: Length = ZERO
    mat_colour: str = "white"
    core_colour: str = "white"
    backing_colour: str = "white"
    tape: Length = ZERO

    @property
    def has_window(self) -> bool:
        """Whether a mat with an opening lies on the print."""
        return self.window != "none"

    @property
    def bevel_width(self) -> Length:
        """How much farther one edge of the opening lies out than the other, on each side.

        A 45° bevel of board t thick is t wide in plan; a straight cut is none.
        """
        return self.mat if self.has_window and self.bevel != "straight" else ZERO

    def thickness(self, paper: Length) -> Length:
        """Return the thickness of the finished mount with a print on ``paper`` this thick."""
        return total((self.backing, self.mat, paper, self.tape))


def read_mount(table: Table, name: str) -> Mount:
    """Return the mount that a profile describes.

    Raises ``ProfileError`` with the key, what was found and what is expected.
    """
    window, mat, backing = table.table("window"), table.table("mat"), table.table("backing")
    kind = window.choice("kind", WINDOWS)
    reveal = window.length("reveal", default=ZERO)
    overlap = window.length("overlap", default=ZERO)
    mount = Mount(
        name=name,
        title=table.text("title"),
        source=table.text("source"),
        window=kind,
        board=table.size_or_none("board"),
        least_border=table.length("least_border", default=ZERO),
        placing=table.choice("placing", PLACINGS, default="centred"),
        tape=table.length("tape", default=ZERO),
        bevel=window.choice("bevel", BEVELS, default="ordinary"),
        overlap=overlap,
        least_overlap=window.length("least_overlap", default=overlap),
        reveal=reveal,
        reveal_bottom=window.length("reveal_bottom", default=reveal),
        hold=window.length("hold", default=inches("1/4")),
        mat=mat.length("thickness", default=ZERO),
        mat_colour=mat.text("colour", default="white"),
        core_colour=mat.text("core_colour", default="white"),
        backing=backing.length("thickness"),
        backing_colour=backing.text("colour", default="white"),
    )
    _check(window, mat, mount)
    for part in (window, mat, backing, table):
        part.done()
    return mount


def _check(window: Table, mat: Table, mount: Mount) -> None:
    if mount.has_window and not mount.mat:
        raise mat.wrong("thickness", "how thick the mat is, such as '1.4 mm'")
    if not mount.has_window and mount.mat:
        raise mat.wrong("thickness", "no mat: window.kind is 'none'")
    if mount.window == "overlap" and not mount.overlap:
        raise window.wrong("overlap", "how much the mat hides on each side, such as '1/8 in'")
    if mount.window == "reveal" and not mount.reveal:
        raise window.wrong("reveal", "how much paper is seen round the image, such as '1/4 in'")
    if mount.window != "overlap" and mount.overlap:
        raise window.wrong("overlap", f"nothing: window.kind is {mount.window!r}")
    if mount.window != "reveal" and (mount.reveal or mount.reveal_bottom):
        key = "reveal" if mount.reveal else "reveal_bottom"
        raise window.wrong(key, f"nothing: window.kind is {mount.window!r}")
    if mount.least_overlap > mount.overlap:
        raise window.wrong("least_overlap", f"at most {mount.overlap}, which is overlap")
