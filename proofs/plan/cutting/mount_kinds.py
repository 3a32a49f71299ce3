"""Entries at the bench, and the kinds of mounts that are cut alike."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Length, Size
from proofs.plan.checks.size_checks import cut_findings
from proofs.plan.cutting.arrival import ArrivalVerdict, arrive, as_measured
from proofs.plan.cutting.cut_lines import CutLine, cut_lines
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.opening_limits import MountLimits, common_limits, mount_limits
from proofs.plan.cutting.openings import given_windows, innermost, with_windows
from proofs.plan.cutting.rounding import on_marks, settled
from proofs.plan.cutting.staircases import nearest_between
from proofs.plan.entry.board import Cut, Opening
from proofs.plan.entry.layout import mat_board
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.mounts import BevelKind, Mat, Mount, WindowShape
from proofs.records.ruler_readings import RulerReading

REACH = "cutter-reach"
"""The code of the finding on borders that the cutter cannot be set to."""

Readings = Mapping[tuple[str, int], RulerReading]


@dataclass(frozen=True, slots=True)
class BenchEntry:
    """One entry at the bench: its plan on the cutter's marks, with the measured sizes.

    ``limits`` are those of its openings. ``verdict`` is that of ``arrive``, or None if its prints
    have not all been measured. ``notes`` are doubts about a reading or an opening.
    """

    plan: Plan
    findings: tuple[Finding, ...]
    limits: MountLimits
    verdict: ArrivalVerdict | None = None
    notes: tuple[str, ...] = ()

    @property
    def is_measured(self) -> bool:
        """Whether all of its prints have been measured."""
        return bool(self.verdict)

    @property
    def is_given(self) -> bool:
        """Whether it has windows, and all of their openings are given."""
        given = given_windows(self.plan)
        return bool(given) and all(given)


@dataclass(frozen=True, slots=True)
class MatSheet:
    """One mat to cut: ``place`` counts the mats from the top one, which is 0.

    ``board`` is its own outer size; its cuts are counted from its own top left. One that
    ``is_ready_cut`` exists already.
    """

    place: int
    board: Size
    thickness: Length
    colour: str
    core_colour: str
    cuts: tuple[Cut, ...]
    is_ready_cut: bool = False

    @property
    def backs(self) -> tuple[Opening, ...]:
        """Its openings at the back, seen from the front."""
        return tuple(cut.back for cut in self.cuts)

    @property
    def lines(self) -> tuple[CutLine, ...]:
        """The lines to cut, seen from the back."""
        return cut_lines(self.board, self.backs)


@dataclass(frozen=True, slots=True)
class MountKind:
    """Entries whose mounts are cut alike; ``number`` counts the kinds from 1.

    With ``is_from_shelf`` a ready-cut mat lies on the shelf for each of them.
    """

    number: int
    entries: tuple[BenchEntry, ...]
    is_from_shelf: bool = False

    @property
    def mount(self) -> Mount:
        """The profile of all these mounts."""
        return self.entries[0].plan.mount

    @property
    def is_ready_cut(self) -> bool:
        """Whether its mats exist already."""
        return self.is_from_shelf or self.entries[0].plan.is_ready_cut

    @property
    def board(self) -> Size:
        """The size of all these boards."""
        return self.entries[0].plan.layout.board

    @property
    def mats(self) -> tuple[MatSheet, ...]:
        """The mats of each mount, the top mat first; none without a window."""
        mats = mat_sheets(self.entries[0].plan)
        return tuple(replace(mat, is_ready_cut=self.is_ready_cut) for mat in mats)

    @property
    def unmeasured(self) -> tuple[str, ...]:
        """The numbers of the entries with prints that have not been measured."""
        return tuple(e.plan.entry.number for e in self.entries if not e.is_measured)

    @property
    def limits(self) -> MountLimits:
        """The limits of the openings that suit all of these entries."""
        return common_limits([entry.limits for entry in self.entries])


def at_bench(job: Job, plan: Plan, readings: Readings) -> BenchEntry:
    """Return an entry for the bench, with its measured sizes if all of its prints are measured."""
    number, count = plan.entry.number, len(plan.layout.pictures)
    read = [readings.get((number, picture)) for picture in range(1, count + 1)]
    held = [reading for reading in read if reading]
    if len(held) < count:
        within, limits = _within_limits(job, on_marks(job, plan), plan)
        return BenchEntry(within, _findings(job, within), limits)
    found, measured = arrive(job, plan, held), as_measured(job)
    within, limits = _within_limits(measured, found.plan, plan)
    return BenchEntry(within, _findings(measured, within), limits, found.verdict, found.notes)


def _findings(job: Job, plan: Plan) -> tuple[Finding, ...]:
    return (*cut_findings(job, plan), *reach_findings(job, plan))


def _within_limits(job: Job, plan: Plan, exact: Plan) -> tuple[Plan, MountLimits]:
    """The plan with openings that keep their own limits, if any do, and those limits.

    ``exact`` is the same before it was rounded to marks. An opening that is given stays.
    """
    limits, windows = mount_limits(job, plan), list(plan.layout.windows)
    if all(
        limit.passes(told.size) for limit, told in zip(limits.windows, innermost(plan), strict=True)
    ):
        return plan, limits
    for number, (limit, told) in enumerate(zip(limits.windows, innermost(plan), strict=True)):
        nearest = nearest_between(told.size, limit.least, limit.most)
        if given_windows(plan)[number]:
            continue
        if nearest and not limit.passes(told.size):
            windows[number] = settled(exact, number, nearest, marks_of(job))
    return with_windows(plan, windows), limits


def mat_sheets(plan: Plan) -> tuple[MatSheet, ...]:
    """Return the mats of one mount, the top mat first; none without a window."""
    layout = plan.layout
    return tuple(
        _mat_sheet(layout.board, place, mat, [window[place] for window in layout.windows])
        for place, mat in enumerate(plan.mount.mats)
    )


def beyond_reach(job: Job, mat: MatSheet) -> tuple[CutLine, ...]:
    """Return the lines of a mat that are farther from their edge than the cutter can be set."""
    reach = job.cutter.reach
    return tuple(line for line in mat.lines if reach is not None and line.at > reach)


def reach_findings(job: Job, plan: Plan) -> tuple[Finding, ...]:
    """Return a warning for each mat with borders that the cutter cannot be set to.

    The windows of other shapes than rectangles are not cut by its scale, and mats that exist
    already are not cut at all.
    """
    is_cut_by_scale = plan.mount.shape == WindowShape.RECTANGLE and not plan.is_ready_cut
    if not is_cut_by_scale or job.cutter.reach is None:
        return ()
    far = [(mat, beyond_reach(job, mat)) for mat in mat_sheets(plan)]
    return tuple(_reach_finding(job, mat, lines) for mat, lines in far if lines)


def _reach_finding(job: Job, mat: MatSheet, lines: Sequence[CutLine]) -> Finding:
    marks, reach = marks_of(job), job.cutter.reach or ZERO
    most = marks.with_unit(reach)
    at = ", ".join(f"{line.edge} {marks.with_unit(line.at)}" for line in lines)
    widest = max(line.at for line in lines)
    border = "border of the lower mat" if mat.place else "border"
    return Finding(
        REACH,
        Severity.WARNING,
        f"{border} beyond the cutter's reach of {most}: {at} (seen from the back)",
        round(widest.mm, 3),
        round(reach.mm, 3),
        "mm",
        remedy="draw these lines, and cut them along a straightedge",
    )


def mount_kinds(
    entries: Iterable[BenchEntry], from_shelf: Collection[str] = ()
) -> tuple[MountKind, ...]:
    """Return the kinds of mounts in the order in which entries first need them.

    ``from_shelf`` are the numbers of the entries whose mat lies ready-cut on the shelf.
    """
    alike: dict[tuple[object, bool], list[BenchEntry]] = defaultdict(list)
    for entry in entries:
        plan = entry.plan
        key = plan.mount, plan.layout.board, plan.layout.windows, plan.is_ready_cut
        alike[key, plan.entry.number in from_shelf].append(entry)
    return tuple(
        MountKind(n, tuple(held), is_shelved)
        for n, ((_, is_shelved), held) in enumerate(alike.items(), 1)
    )


def overrun(job: Job, mount: Mount, mat: MatSheet) -> Length:
    """Return how far a cut must run past a corner, so that two cuts meet at the face.

    The blade leans, so the corner at the face of an ordinary bevel is as far out as the mat is
    thick (geometry of a 45° bevel).
    """
    if job.cutter.overrun is not None:
        return job.cutter.overrun
    return mat.thickness if mount.bevel == BevelKind.ORDINARY else ZERO


def _mat_sheet(board: Size, place: int, mat: Mat, cuts: Sequence[Cut]) -> MatSheet:
    """A mat with its cuts counted from its own top left."""
    own = mat_board(board, place)
    own_cuts = tuple(Cut(cut.back.counted_from(own), cut.face.counted_from(own)) for cut in cuts)
    return MatSheet(place, own.size, mat.thickness, mat.colour, mat.core_colour, own_cuts)
