"""Numbers read back from the finished pages of the bench, against each other and ``cuts.json``.

Mounts of every kind, in inches and in millimetres, measured or not. That no page contradicts
another is the user's own wish; numbers are compared to the mark of a ruler by which they are shown.
"""

import datetime
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

import pypdfium2 as pdfium
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from proofs.commands.mount.record import cut_record
from proofs.commands.mount.run import MountOptions
from proofs.lengths import Unit, inches, millimetres
from proofs.measures import read_length, read_size
from proofs.outside.bench_pdfs import mounting_pdf
from proofs.pages.bench.pages import Supplies
from proofs.plan.bench.materials import materials
from proofs.plan.cutting.mount_kinds import at_bench, mount_kinds
from proofs.plan.entry.planning import plan_entry
from proofs.records.job import Job
from proofs.records.mounts import WindowKind
from proofs.records.ruler_readings import RulerReading, by_print
from proofs.records.rules import BoardRule, BorderRule, VisibleRule
from tests.workbench import HAND, RAIL, SHIPPED, a_job, an_entry, facts, some_rules

N = r"(?:\d+ \d+/\d+|\d+/\d+|\d+\.\d+|\d+)"  # a number as pages show it
EXACT_MM = 1e-5  # the record has six decimals
SHOWN_MM = 0.13  # decimals of an inch are shown to the hundredth: half of it, 0.127 mm
RULER_MM = {
    Unit.IN: 25.4 / 64 + SHOWN_MM,
    Unit.MM: 0.25 + 0.01,
}  # half a mark of 1/32 in, of 0.5 mm
MOUNTS = (
    *("overlap-white", "overlap-wide-off-white", "overlap-8-ply", "double-white", "oval-white"),
    *("reverse-bevel", "reveal-white", "float-window", "float-bare", "no-window"),
    "printed-surround",
)


@dataclass(frozen=True, slots=True)
class Bench:
    """The pages of one entry as texts, each as one line, and its record."""

    unit: Unit
    pages: tuple[str, ...]
    record: dict[str, Any]

    def __str__(self) -> str:
        return " ".join(self.pages)

    @property
    def kind(self) -> Any:
        """The record of its only kind of mount."""
        return self.record["mounts"][0]

    def mm(self, number: str) -> float:
        """Return a number of a page in mm."""
        return read_length(f"{number} {self.unit}").mm


def bench_of(job: Job, size: str, file: str, readings: list[str], sheet: str) -> Bench:
    """Return an entry as it is mounted; without readings its sizes are the planned ones."""
    count = file.count("|") + 1
    plan = plan_entry(job, an_entry(size, file=file), *[facts(3000, 2000)] * count)
    paper = read_size(sheet) if sheet else None
    read = [RulerReading("1", read_size(r), paper, picture=n) for n, r in enumerate(readings, 1)]
    bench = at_bench(job, plan, by_print(read))
    boards = materials([bench.plan], SHIPPED.stock("32x40-in"))
    supplies = Supplies(boards, None, datetime.date(2026, 6, 1))
    pdf = mounting_pdf(job, [bench], supplies, MountOptions(out=None))  # type: ignore[arg-type]
    texts = [page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(pdf)]
    unit = job.cutter.unit or (job.rules.unit if job.rules else Unit.IN)
    pages = tuple(" ".join(text.split()) for text in texts)
    return Bench(unit, pages, cut_record(job, mount_kinds([bench]), [], boards))


RULES = (
    VisibleRule(longest_least=inches(10), shortest_least=inches(4), sums=True),
    VisibleRule(longest_least=millimetres(260)),
    VisibleRule(least_square_nm=read_size("8x8 in").square_nm),
    VisibleRule(longest_most=inches(13), shortest_most=inches(10)),
    VisibleRule(),
)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """A job with one of the shipped mounts, on a board in inches or centimetres."""
    unit = draw(st.sampled_from([Unit.IN, Unit.MM]))
    board = read_size("16x20 in" if unit == Unit.IN else "40x50 cm")
    rules = some_rules(
        unit=unit,
        board=BoardRule(board, exact=True, either_way=True),
        visible=draw(st.sampled_from(RULES)),
        borders=draw(st.sampled_from([(), (BorderRule(inches(2)),)])),
    )
    cutter = draw(st.sampled_from([HAND, RAIL, replace(HAND, has_stop=False)]))
    mount = SHIPPED.mount(draw(st.sampled_from(MOUNTS)))
    return a_job(mount, rules, cutter=cutter, lab=SHIPPED.lab("srgb-jpeg-300"))


@st.composite
def single(draw: st.DrawFn) -> Bench:
    """One picture, planned, or measured up to 2 % small, some with their sheet."""
    job, mm = draw(jobs()), draw(st.integers(270, 345))
    width = mm * draw(st.sampled_from([0.98, 0.99, 0.995, 1.0]))
    readings = draw(st.sampled_from([[], [f"{width:.1f} x {width * 2 / 3:.1f} mm"]]))
    sheet = draw(st.sampled_from(["", "14x11 in"])) if mm < 340 else ""
    return bench_of(job, f"long {mm} mm", "a.jpg", readings, sheet)


@st.composite
def double(draw: st.DrawFn) -> Bench:
    """Two pictures side by side, in mats with a window for each."""
    job, mm = draw(jobs()), draw(st.integers(150, 190))
    windowed = job.mounts[0].window == WindowKind.OVERLAP and not job.mounts[0].inner
    job = job if windowed else replace(job, mounts=(SHIPPED.mount("overlap-black"),))
    readings = draw(st.sampled_from([[], [f"{mm * 0.99:.1f} x {mm * 0.66:.1f} mm"] * 2]))
    return bench_of(job, f"long {mm} mm", "a.jpg | b.jpg", readings, "")


benches = st.one_of(single(), single(), double())
quick = settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def sums_of(bench: Bench) -> list[tuple[float, ...]]:
    """Return border, opening, border and board of each opening both ways, by the cuts in mm."""
    return [
        (*sorted((near, far)), opening["back_opening_mm"][side], mat["board_mm"][side])
        for mat in bench.kind["mats"]
        for opening in mat["openings"]
        for side, ends in (("width", ("left", "right")), ("height", ("top", "bottom")))
        for near, far in set(product(*(at(mat, edge) for edge in ends)))
        if abs(near + far + opening["back_opening_mm"][side] - mat["board_mm"][side]) < EXACT_MM
    ]


def at(mat: Any, edge: str) -> list[float]:
    return [cut["at_mm"] for cut in mat["cuts"] if cut["edge"] == edge]


def is_shown(found: Iterable[float], expected: Iterable[float]) -> bool:
    return all(abs(a - b) <= SHOWN_MM for a, b in zip(found, expected, strict=True))


def page_of(bench: Bench, head: str) -> str:
    """Return the pages with this in their head or foot, as one text."""
    return " ".join(page for page in bench.pages if head in page)


@quick
@given(benches)
def test_the_sums_on_the_page_are_those_of_the_record(bench: Bench) -> None:
    found = re.findall(rf"({N}) \+ ({N}) \+ ({N}) = ({N}) {bench.unit}", str(bench))
    lengths = [[bench.mm(part) for part in parts] for parts in found]
    sums = [(*sorted((near, far)), opening, board) for near, opening, far, board in lengths]
    expected = sums_of(bench)
    openings = [o for mat in bench.kind["mats"] for o in mat["openings"]]
    assert len(expected) >= 2 * len(openings)
    assert all(any(is_shown(one, other) for other in expected) for one in sums)
    assert all(any(is_shown(one, other) for other in sums) for one in expected)


@quick
@given(benches)
def test_the_openings_and_their_limits_on_the_page_are_those_of_the_record(bench: Bench) -> None:
    page = " ".join(re.findall("The opening may measure (.*?) Pencil the lines", str(bench)))
    said = [bench.mm(number) for number in re.findall(N, page)]
    backs = [o["back_opening_mm"] for mat in bench.kind["mats"] for o in mat["openings"]]
    limits = [size for one in bench.kind["passes"] for size in one["least_mm"] + one["most_mm"]]
    board = bench.kind["board_mm"]
    expected = [size[side] for size in backs for side in size]
    expected += [size[side] for size in limits for side in size if 0 < size[side] < board[side]]
    assert [mm for mm in expected if not any(is_shown([mm], [one]) for one in said)] == []


@quick
@given(benches)
def test_the_table_of_all_cuts_has_those_of_the_record(bench: Bench) -> None:
    page, kind = page_of(bench, "All cuts"), bench.kind
    uses = [use["cuts"] for setting in bench.record["settings"] for use in setting["uses"]]
    is_oval = kind["shape"] == "oval"
    strokes = 0 if is_oval else sum(len(mat["cuts"]) for mat in kind["mats"])
    said = [int(count) for count in re.findall(r"(\d+) cuts?\b", page)]
    assert sum(uses) == strokes
    assert sorted(said) == sorted([*uses, *([sum(uses)] if uses else [])])
    assert [
        s["at"] for s in bench.record["settings"] if s["at"].replace("−", "-") not in page
    ] == []


@quick
@given(benches)
def test_prints_are_placed_and_trimmed_as_the_record_says(bench: Bench) -> None:
    unit, room = bench.unit, RULER_MM[bench.unit]
    row = rf"(?:Old pier|the same, picture \d) ({N}) {unit} ({N}) {unit} ({N}) × ({N}) {unit}"
    said = [[bench.mm(n) for n in found] for found in re.findall(row, str(bench))]
    expected = [
        [
            one["trimmed_from_left_mm"] if by_paper else one["from_left_mm"],
            one["trimmed_from_top_mm"] if by_paper else one["from_top_mm"],
            *one["image_mm"].values(),
        ]
        for one in bench.kind["entries"][0]["prints"]
        for by_paper in [bool(one["trimmed_mm"]) and "surround" not in bench.kind["profile"]]
    ]
    assert len(said) == len(expected)
    pairs = [pair for a, b in zip(said, expected, strict=True) for pair in zip(a, b, strict=True)]
    assert [pair for pair in pairs if abs(pair[0] - pair[1]) > room] == []


@quick
@given(benches)
def test_a_trimmed_print_is_its_image_and_the_paper_outside_it(bench: Bench) -> None:
    unit, tenth = bench.unit, 0.11 + (25.4 / 64 if bench.unit == Unit.IN else 0.25)
    size = rf"({N}) × ({N}) {unit}"
    row = rf"{size}(?:, planned)? trim(?:med)? to {size}, ({N}) {unit} outside the image"
    found = [[bench.mm(number) for number in one] for one in re.findall(row, str(bench))]
    floats = bench.kind["profile"].startswith("float")
    assert len(found) == floats * len(bench.kind["entries"][0]["prints"])
    assert [one for one in found if abs(one[0] + 2 * one[4] - one[2]) > tenth] == []
    assert [one for one in found if abs(one[1] + 2 * one[4] - one[3]) > tenth] == []


@quick
@given(benches)
def test_the_mounting_plan_trims_to_the_size_of_the_record(bench: Bench) -> None:
    page = page_of(bench, "Mounting plan")
    in_cm = rf"({N}) × ({N}) cm"
    in_both = rf"trim(?:med)? to (?:{N} × {N} in \({in_cm}\)|{in_cm} \({N} × {N} in\))"
    found = [tuple(filter(None, sides)) for sides in re.findall(in_both, page)]
    prints = bench.kind["entries"][0]["prints"]
    expected = [tuple(one["trimmed_mm"].values()) for one in prints if one["trimmed_mm"]]
    said = [tuple(10 * float(cm) for cm in sides) for sides in found]
    assert bool(said) == bool(expected)
    assert all(any(is_shown(one, other) for other in said) for one in expected)


@quick
@given(benches)
def test_the_material_list_has_every_board_and_a_spare_of_each_kind(bench: Bench) -> None:
    found = re.findall(rf"(\d+) of ({N}) × ({N}) {bench.unit}", page_of(bench, "Material list"))
    mats = bench.kind["mats"]
    kinds = {(mat["thickness_mm"], mat["colour"], mat["core_colour"]) for mat in mats}
    said = {(bench.mm(short), bench.mm(long)): int(count) for count, short, long in found}
    assert sum(int(count) for count, *_ in found) == len(mats) + 1 + len(kinds) + 1
    boards = [sorted(size["board_mm"].values()) for size in [*mats, bench.kind]]
    assert all(any(is_shown(board, size) for size in said) for board in boards)
