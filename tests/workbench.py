"""Mounts, jobs, entries and plans to test decisions on; each value can be replaced."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from proofs.findings import Finding
from proofs.lengths import ZERO, Borders, Edge, Length, PixelSize, Size, Unit, inches, millimetres
from proofs.measures import read_size
from proofs.outside.profiles import profile_folders
from proofs.plan.entry.facts import PhotoFacts
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.cutters import Cutter
from proofs.records.entries import Entry, PictureWish
from proofs.records.job import Job
from proofs.records.labs import Compression, FileFormat, Lab, RenderingIntent
from proofs.records.mounts import BevelKind, Mount, WindowKind, WindowPlacing
from proofs.records.papers import Paper, Sharpening
from proofs.records.rules import BoardRule, BorderRule, Rules, VisibleRule
from proofs.records.size_and_crop import read_crop, read_size_wish

SHIPPED = profile_folders(None)
BOARD = read_size("16x20 in")

MAT = Mount(
    name="mat",
    title="A white mat 1.4 mm thick that hides 1/8 in",
    source="made up",
    window=WindowKind.OVERLAP,
    backing=inches("3/16"),
    overlap=inches("1/8"),
    mat=millimetres("1.4"),
)
PAPER = Paper("paper", "A paper", "made up", millimetres("0.27"), "lustre", Sharpening.LOW)
HAND = Cutter("hand", "By hand", "common practice", cut=millimetres(1), placing=millimetres(1))
RAIL = Cutter("rail", "On a rail", "common practice", cut=millimetres("0.5"), placing=HAND.placing)
TRUE = Cutter("true", "Without an error", "made up", cut=ZERO, placing=ZERO)
LAB = Lab(
    name="lab",
    title="A lab",
    source="made up",
    ppi=300,
    format=FileFormat.JPEG,
    bits=8,
    quality=95,
    compression=Compression.LZW,
    colour_profile="srgb",
    intent=RenderingIntent.RELATIVE,
    black_point_compensation=True,
    sharpens=False,
    sheets=(read_size("8x10 in"), read_size("12x16 in"), read_size("20x24 in")),
    margin=inches("1/8"),
    edge_loss=inches("1/8"),
    scale_error=0.005,
)
TRUE_LAB = replace(LAB, name="true lab", scale_error=0.0)
NO_RULES = Rules(name="rules", title="Rules", source="made up", edition="", link="", unit=Unit.IN)


def a_mount(**changes: Any) -> Mount:
    """Return a white mat that hides 1/8 in, with these values changed."""
    return replace(MAT, **changes)


def a_reveal(reveal: Length, **changes: Any) -> Mount:
    """Return a mat that leaves this much paper all round."""
    paper: dict[str, Any] = {"reveal": reveal, "reveal_bottom": reveal, "hold": inches("1/4")}
    return replace(MAT, window=WindowKind.REVEAL, overlap=ZERO, **(paper | changes))


def no_window(**changes: Any) -> Mount:
    """Return a mount with the print stuck on the board."""
    bare: dict[str, Any] = {
        "window": WindowKind.NONE,
        "overlap": ZERO,
        "mat": ZERO,
    }
    return replace(MAT, **(bare | changes))


def a_job(mount: Mount = MAT, rules: Rules | None = None, **changes: Any) -> Job:
    """Return a job by hand on lustre paper, with these values changed."""
    return replace(Job(rules, (mount,), PAPER, LAB, HAND), **changes)


def some_rules(**changes: Any) -> Rules:
    """Return rules that ask for nothing but these."""
    return replace(NO_RULES, **changes)


def an_entry(
    size: str = "largest",
    *,
    crop: str = "",
    top_edge: Edge = Edge.TOP,
    file: str = "old_pier.jpg",
    **changes: Any,
) -> Entry:
    """Return an entry whose cells say this; a file for each part, parted by strokes."""
    pictures = tuple(
        PictureWish(name.strip(), read_crop(crop), top_edge) for name in file.split("|")
    )
    sizes = tuple(read_size_wish(part) for part in size.split("|"))
    return replace(Entry("1", "Old pier", pictures, sizes=sizes), **changes)


def facts(width: int = 3000, height: int = 2000, **changes: Any) -> PhotoFacts:
    """Return the facts of an 8-bit colour picture of so many pixels."""
    return replace(PhotoFacts(PixelSize(width, height), bits=8, channels=3), **changes)


def widened(borders: Borders, by: Length) -> Borders:
    """Return borders with this added to each."""
    sides = (borders.top, borders.right, borders.bottom, borders.left)
    return Borders(*(side + by for side in sides))


def size_cell_of(remedy: str) -> str:
    """Return the cell of a remedy such as ``size: long 12 in; image ...``, or nothing."""
    column, _, rest = remedy.partition(": ")
    return rest.partition(";")[0] if column == "size" else ""


def a_plan(job: Job, size: str = "largest", width: int = 3000, height: int = 2000) -> Plan:
    """Return the plan of a picture of so many pixels at the size of this cell."""
    return plan_entry(job, an_entry(size), facts(width, height))


def by_code(findings: Iterable[Finding]) -> dict[str, Finding]:
    """Return findings under their codes."""
    return {finding.code: finding for finding in findings}


def words(findings: Iterable[Finding]) -> dict[str, str]:
    """Return the words of the findings' severities under their codes."""
    return {finding.code: finding.severity.word for finding in findings}


def lengths_from(least_mm: int, most_mm: int) -> st.SearchStrategy[Length]:
    """Return any lengths between, to the nanometre."""
    return st.integers(least_mm * 1_000_000, most_mm * 1_000_000).map(Length)


boards = st.builds(Size, lengths_from(300, 800), lengths_from(300, 800))
images = st.builds(Size, lengths_from(80, 280), lengths_from(80, 280))
_looks = {
    "bevel": st.sampled_from(BevelKind),
    "placing": st.sampled_from(WindowPlacing),
    "mat": lengths_from(1, 4),
    "least_border": st.sampled_from([ZERO, inches(1), inches(2), millimetres(35)]),
}
overlaps = st.builds(a_mount, overlap=lengths_from(2, 8), **_looks)
reveals = st.builds(a_reveal, lengths_from(1, 12), reveal_bottom=lengths_from(1, 15), **_looks)
bare = st.builds(
    no_window, placing=_looks["placing"], least_border=st.sampled_from([ZERO, inches(1)])
)
windows = st.one_of(overlaps, reveals)
mounts = st.one_of(overlaps, reveals, bare)
pixel_sizes = st.builds(PixelSize, st.integers(2000, 6000), st.integers(2000, 6000))

_border_rules = st.sampled_from(
    [
        (),
        (BorderRule(inches(1)),),
        (BorderRule(inches("3/2"), read_size("8x10 in")), BorderRule(inches(2))),
    ]
)
rule_sets = st.builds(
    some_rules,
    unit=st.sampled_from([Unit.IN, Unit.MM]),
    board=st.sampled_from([None, BoardRule(BOARD, exact=True, either_way=True)]),
    borders=_border_rules,
    visible=st.builds(
        VisibleRule,
        longest_least=st.sampled_from([None, inches(10), millimetres(260)]),
        longest_most=st.sampled_from([None, inches(14), millimetres(380)]),
        shortest_least=st.sampled_from([None, inches(4), millimetres(150)]),
        shortest_most=st.sampled_from([None, inches(11), millimetres(300)]),
        least_square_nm=st.sampled_from([None, read_size("8x10 in").square_nm]),
    ),
)
sizes_asked = st.sampled_from(
    [
        *("largest", "long 10 in", "long 12 in", "short 20 cm", "12x8 in", "visible 10x8 in"),
        *("visible 15x10 in", "long 3 in", "16x12 in", "short 11 in", "40x30 cm", "long 19 in"),
    ]
)
