"""Everything that the bench needs of every entry, and which mounts are cut alike."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Length, Size
from proofs.plan.checks.size_checks import cut_findings
from proofs.plan.cutting.arrival import ArrivalVerdict, arrive, measured
from proofs.plan.cutting.bands import Band, bands, meeting
from proofs.plan.cutting.cut_lines import CutLine, cut_lines
from proofs.plan.cutting.rounding import on_marks
from proofs.plan.entry.board import Cut, Opening
from proofs.plan.entry.layout import mat_board
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.mounts import BevelKind, Mount
from proofs.records.ruler_readings import RulerReading

Readings = Mapping[tuple[str, int], RulerReading]


@dataclass(frozen=True, slots=True)
class Bench:
    """One entry at the bench: its plan on the cutter's marks, with the sizes that were measured.

    ``bands`` holds what its openings may measure, width and height, one pair a window.
    ``verdict`` is that of ``arrive``, None where the prints have not been measured; then the
    plan is the planned one. ``notes`` are doubts about a reading.
    """

    plan: Plan
    findings: tuple[Finding, ...]
    bands: tuple[tuple[Band, Band], ...]
    verdict: ArrivalVerdict | None = None
    notes: tuple[str, ...] = ()

    @property
    def is_measured(self) -> bool:
        """Whether all of its prints have been measured."""
        return bool(self.verdict)

    @property
    def is_broken(self) -> bool:
        """Whether a rule is broken, or paper shows, as it would be cut."""
        return any(f.severity >= Severity.BROKEN for f in self.findings)


@dataclass(frozen=True, slots=True)
class MatSheet:
    """One mat to cut: ``place`` counts from the first, which is seen from edge to edge.

    ``board`` is its own outer size, and its cuts lie as many from its own top left.
    """

    place: int
    board: Size
    thickness: Length
    colour: str
    core_colour: str
    cuts: tuple[Cut, ...]

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
    """Mounts that are cut alike, with their entries; ``number`` counts the kinds from 1."""

    number: int
    benches: tuple[Bench, ...]

    @property
    def mount(self) -> Mount:
        """What they are all made of."""
        return self.benches[0].plan.mount

    @property
    def board(self) -> Size:
        """The board they are all cut from."""
        return self.benches[0].plan.layout.board

    @property
    def mats(self) -> tuple[MatSheet, ...]:
        """The mats of each mount, the first one first; none without a window."""
        windows = self.benches[0].plan.layout.windows
        stack = (
            (self.mount.mat, self.mount.mat_colour, self.mount.core_colour),
            *((mat.thickness, mat.colour, mat.core_colour) for mat in self.mount.inner),
        )
        return tuple(
            _mat_sheet(self.board, place, made_of, [window[place] for window in windows])
            for place, made_of in enumerate(stack if windows else ())
        )

    @property
    def unmeasured(self) -> tuple[str, ...]:
        """The numbers of the entries whose prints have not been measured."""
        return tuple(b.plan.entry.number for b in self.benches if not b.is_measured)

    @property
    def bands(self) -> tuple[tuple[Band, Band], ...]:
        """What suits every one of them, width and height, one pair a window."""
        pairs = zip(*(bench.bands for bench in self.benches), strict=True)
        return tuple(
            (meeting([width for width, _ in of]), meeting([height for _, height in of]))
            for of in pairs
        )


def at_bench(job: Job, plan: Plan, readings: Readings) -> Bench:
    """Return an entry as it comes to the bench, measured if every one of its prints is."""
    number, count = plan.entry.number, len(plan.layout.pictures)
    read = [readings.get((number, picture)) for picture in range(1, count + 1)]
    held = [reading for reading in read if reading]
    rounded = on_marks(job, plan)
    if len(held) < count:
        return Bench(rounded, cut_findings(job, rounded), _bands(job, rounded))
    found = arrive(job, rounded, held)
    passes = _bands(measured(job), found.plan)
    return Bench(found.plan, found.findings, passes, found.verdict, found.notes)


def mount_kinds(benches: Iterable[Bench]) -> tuple[MountKind, ...]:
    """Return the kinds of mounts, those cut alike together, in the order of the entries."""
    alike: dict[object, list[Bench]] = defaultdict(list)
    for bench in benches:
        layout = bench.plan.layout
        alike[bench.plan.mount, layout.board, layout.windows].append(bench)
    return tuple(MountKind(n, tuple(held)) for n, held in enumerate(alike.values(), 1))


def overrun(job: Job, mount: Mount, mat: MatSheet) -> Length:
    """Return how far a cut runs past a corner's line, so that the cuts meet at the face.

    The blade leans, so at the face of an ordinary bevel the corner lies as far out as the mat
    is thick (geometry of a 45° bevel).
    """
    if job.cutter.overrun is not None:
        return job.cutter.overrun
    return mat.thickness if mount.bevel == BevelKind.ORDINARY else ZERO


def _mat_sheet(
    board: Size, place: int, made_of: tuple[Length, str, str], cuts: Sequence[Cut]
) -> MatSheet:
    """A mat with its cuts counted from its own edges."""
    own = mat_board(board, place)
    return MatSheet(
        place,
        own.size,
        *made_of,
        tuple(Cut(cut.back.counted_from(own), cut.face.counted_from(own)) for cut in cuts),
    )


def _bands(job: Job, plan: Plan) -> tuple[tuple[Band, Band], ...]:
    return tuple(bands(job, plan, window) for window in range(len(plan.layout.windows)))
