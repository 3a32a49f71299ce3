"""The outcome of each entry of a run, also of an entry that failed."""

from collections.abc import Iterable
from dataclasses import dataclass

from proofs.errors import ExitCode, largest
from proofs.findings import Finding, Status
from proofs.lengths import NM_PER_INCH, Borders, Length, PixelSize, Size
from proofs.plan.entry.board import Opening, Picture
from proofs.plan.entry.planning import Plan
from proofs.plan.tones.tone import Variant
from proofs.records.entries import Entry

_EXIT_CODES = {
    Status.BROKEN: ExitCode.BROKEN,
    Status.NOT_UNDERSTOOD: ExitCode.NOT_UNDERSTOOD,
    Status.UNREADABLE: ExitCode.UNREADABLE,
    Status.NOT_DONE: ExitCode.INTERRUPTED,
}


@dataclass(frozen=True, slots=True)
class PrintFile:
    """A finished file as read back from its bytes; ``file`` is relative to the output folder.

    ``measured_sight`` is the visible size, from its pixels, its resolution tag and the window.
    """

    file: str
    pixels: PixelSize
    ppi: float
    icc: str
    measured_sight: Size
    sha256: str


@dataclass(frozen=True, slots=True)
class Tones:
    """The tones of a picture at one step.

    Densities are changes at mid grey: the one asked for, and the one that a patch of L* 50 has
    in the lab's file. The shares of the image, 0 to 1, are what is darker than the deepest black
    of the paper, and what is bare paper.
    """

    density_asked: float
    density_reached: float
    blocked_share: float
    bare_share: float


@dataclass(frozen=True, slots=True)
class StepOutcome:
    """One step of an entry's bracket, with its finished files if they were made.

    ``print_files`` holds one for each picture, in order; a print with a printed surround is the
    same file for all of them. ``small_pictures`` are files for pages: what is seen of each picture,
    and ``life_size`` a part of one, pixel for pixel; blank if none was made.
    """

    variant: Variant
    is_chosen: bool
    print_files: tuple[PrintFile, ...] = ()
    mockup: str | None = None
    tones: Tones | None = None
    small_pictures: tuple[str, ...] = ()
    life_size: str = ""


@dataclass(frozen=True, slots=True)
class LifeSizePart:
    """The part of a picture, counted from 0, that all steps show at life size.

    ``place`` is where it lies on the board.
    """

    picture: int
    place: Opening


@dataclass(frozen=True, slots=True)
class Outcome:
    """One entry after a check or a run.

    ``plan`` is None if the entry or its photograph cannot be understood. ``mockup_back``
    and the steps' files are relative to the output folder. ``life_size`` is None if no part of
    the print is shown at life size. ``hung`` is a file for pages too: the whole mount at its
    printed step, small; blank if none was made.
    """

    entry: Entry
    status: Status
    findings: tuple[Finding, ...]
    plan: Plan | None = None
    steps: tuple[StepOutcome, ...] = ()
    mockup_back: str | None = None
    is_printed: bool = False
    life_size: LifeSizePart | None = None
    hung: str = ""


def worst_status(statuses: Iterable[Status]) -> Status:
    """Return the worst of these statuses.

    >>> str(worst_status([Status.MET, Status.BROKEN, Status.AT_RISK]))
    'broken'
    """
    return max(statuses, key=list(Status).index, default=Status.MET)


def measured_sight(picture: Picture, pixels: PixelSize, ppi: float) -> Size:
    """Return the visible size of a finished file in its window, from its pixels and its ppi."""
    opening = picture.limiting.size if picture.limiting else None
    return seen_through(opening, picture.hidden, size_on_paper(pixels, ppi))


def seen_through(opening: Size | None, hidden: Borders, image: Size) -> Size:
    """Return the visible size of an image of which this much is hidden on each side.

    ``opening`` is the limiting edge, None without a window.
    """
    seen = Opening(image).inside(hidden).size
    return seen if opening is None else seen.shared(opening)


def size_on_paper(pixels: PixelSize, ppi: float) -> Size:
    """Return the size of this many pixels on paper.

    >>> str(size_on_paper(PixelSize(3000, 2400), 300))
    '10 × 8 in (25.4 × 20.32 cm)'
    """
    return Size(*(Length(round(n * NM_PER_INCH / ppi)) for n in (pixels.width, pixels.height)))


def possible_sizes(pixels: PixelSize, ppi: float) -> tuple[Size, ...]:
    """Return the size of this many pixels on paper, then half a pixel more, and less, each way.

    A size that was planned has been rounded to whole pixels, so it may have been any between.
    """
    size, half = size_on_paper(pixels, ppi), Length(round(NM_PER_INCH / ppi / 2))
    room = Size(half, half)
    return size, size.extended(room), size.extended(room, times=-1)


def exit_code_of(outcomes: Iterable[Outcome]) -> ExitCode:
    """Return the exit code of a run with these outcomes: the largest of theirs.

    An entry that failed has none of its own: whoever knows why adds it.
    """
    return largest(_EXIT_CODES.get(outcome.status, ExitCode.DONE) for outcome in outcomes)
