"""The work of one worker: one sheet of test strips, from its photographs to its file."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from proofs.errors import ExitCode, PhotographError, largest
from proofs.findings import Finding, Severity, Status
from proofs.inspection.representative_area import representative_centre
from proofs.lengths import PixelSize
from proofs.outside.files import sha256_of_bytes, write_whole
from proofs.outside.fonts import load_fonts
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.lightness import lightness_map
from proofs.outside.pixels.prints.composition import Codes, grey_codes, print_codes
from proofs.outside.pixels.prints.encoding import preview_jpeg, sheet_file
from proofs.outside.pixels.resize.print_size import reduced
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.outside.strip_drawing import sheet_greys
from proofs.pages.drawing import Block
from proofs.pages.strip.sheet import foot_marks, sheet_marks
from proofs.pages.typography import Setter
from proofs.pixel_areas import Area
from proofs.plan.checks.outcomes import Outcome, Tones
from proofs.plan.entry.mockup import picture_pixels
from proofs.plan.entry.planning import Plan
from proofs.plan.sheets.strip_packing import StripPiece, StripSheet
from proofs.plan.sheets.strip_sheet import StripFoot, StripFrame, step_crop, step_size
from proofs.records.job import Job
from proofs.records.papers import Sharpening
from proofs.run.print_files import print_base
from proofs.run.step_tones import blocked_findings, measured_tones
from proofs.run.workers import Trouble, guarded

_PREVIEW_PPI = 150
_MISSING = 62258  # a light grey, L* 95, in place of a picture that could not be read


@dataclass(frozen=True, slots=True)
class StripOptions:
    """The options of a run of test strips.

    ``at`` is the middle of the part to show, as shares of the picture from its left and top;
    None picks the part with the most tones. ``sharpen`` and ``font`` are as in ``MakeOptions``.
    """

    at: tuple[float, float] | None = None
    sharpen: Sharpening | None = None
    font: Path | None = None


@dataclass(frozen=True, slots=True)
class StripTask:
    """All that a worker needs for one sheet; its file goes into ``folder``.

    ``outcomes`` are by entry number, ``sources`` by entry number and picture, counted from 0.
    """

    job: Job
    frame: StripFrame
    sheet: StripSheet
    head: Block
    foot: StripFoot
    outcomes: dict[str, Outcome]
    sources: dict[tuple[str, int], Path]
    number: int
    folder: Path
    name: str
    options: StripOptions

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The pictures as the entries file names them; the folder is not named."""
        files = ((path, self.file(*key)) for key, path in self.sources.items())
        return (*files, (self.folder, ""))

    def file(self, number: str, n: int) -> str:
        """Return the name of an entry's picture in the entries file."""
        return self.outcomes[number].entry.pictures[n].file


@dataclass(frozen=True, slots=True)
class ShownPicture:
    """The part of one picture that a sheet shows, in pixels of its print, and its tones.

    If it could not be shown, ``status`` says why, and ``fault`` is the traceback of a fault of
    the program.
    """

    entry: str
    picture: int = 0
    crop: Area | None = None
    tones: tuple[Tones, ...] = ()
    findings: tuple[Finding, ...] = ()
    status: Status | None = None
    exit_code: ExitCode = ExitCode.DONE
    fault: str = ""


@dataclass(frozen=True, slots=True)
class StripResult:
    """The result of a sheet; ``preview`` is a small JPEG of it, blank if it was not made."""

    number: int
    shown: tuple[ShownPicture, ...] = ()
    sha256: str = ""
    preview: bytes = b""
    exit_code: ExitCode = ExitCode.DONE
    faults: tuple[str, ...] = ()
    problem: str = ""


@dataclass(frozen=True, slots=True)
class _PictureTask:
    """One picture on a sheet, and the pieces that show it."""

    sheet: StripTask
    plan: Plan
    n: int
    pieces: tuple[StripPiece, ...]
    canvas: Codes

    @property
    def number(self) -> str:
        return self.plan.entry.number

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        return self.sheet.public_names

    def paste(self, codes: Codes, area: Area) -> None:
        self.canvas[area.top : area.bottom, area.left : area.right] = codes


def make_sheet(task: StripTask) -> StripResult:
    """Make the file of one sheet and return the result.

    The places of a photograph that cannot be read stay grey; the other photographs are shown.
    """
    prepare(threads=1)
    return _make(task)


def spoilt_sheet(task: StripTask, trouble: Trouble) -> StripResult:
    """Return the result of a sheet that failed."""
    faults = (trouble.trace,) if trouble.trace else ()
    return StripResult(
        task.number, exit_code=trouble.exit_code, faults=faults, problem=trouble.reason
    )


def _make(task: StripTask) -> StripResult:
    canvas = grey_codes(_blank_sheet(task), task.job.lab)
    shown = tuple(
        guarded(_show, _leave_grey, _picture_task(task, canvas, number, n))
        for number, n in task.sheet.pictures
    )
    content = sheet_file(canvas, task.job.lab)
    write_whole(task.folder / task.name, content)
    width = max(1, task.frame.sheet.width * _PREVIEW_PPI // task.frame.ppi)
    return StripResult(
        task.number,
        shown,
        sha256_of_bytes(content),
        preview_jpeg(content, min(width, task.frame.sheet.width)),
        largest(picture.exit_code for picture in shown),
        tuple(picture.fault for picture in shown if picture.fault),
    )


def _picture_task(task: StripTask, canvas: Codes, number: str, n: int) -> _PictureTask:
    pieces = tuple(p for p in task.sheet.pieces if (p.entry, p.picture) == (number, n))
    plan = task.outcomes[number].plan
    assert plan is not None, "an entry on a sheet has a plan"
    return _PictureTask(task, plan, n, pieces, canvas)


def _blank_sheet(task: StripTask) -> Codes:
    """The sheet without its pictures."""
    fonts, frame = load_fonts(task.options.font), task.frame
    setter = Setter(fonts.width, frame.head.width * 72 / frame.ppi)
    names = {(i, n): _caption(task.outcomes[i], n) for i, n in task.sheet.pictures}
    marks = (
        *sheet_marks(frame, task.sheet, names, task.head, setter),
        *foot_marks(frame, task.foot, setter),
    )
    return sheet_greys(frame, marks, task.foot, fonts)


def _caption(outcome: Outcome, n: int) -> str:
    """The caption of a picture: entry number, picture number if there are several, and title."""
    which = f", picture {n + 1}" if len(outcome.entry.pictures) > 1 else ""
    return f"{outcome.entry.number}{which} · {outcome.entry.title}"


def _leave_grey(picture: _PictureTask, trouble: Trouble) -> ShownPicture:
    """Fill the places of a picture that cannot be shown with grey."""
    grey = grey_codes(np.full((1, 1), _MISSING, np.uint16), picture.sheet.job.lab)
    for piece in picture.pieces:
        picture.paste(grey, piece.area)
    # A picture that cannot be read is no fault of the program; every other exit code is.
    is_fault = trouble.exit_code is not PhotographError.exit_code
    found = Finding(trouble.code, Severity.UNREADABLE, trouble.reason)
    return ShownPicture(
        picture.number,
        picture.n,
        findings=(found,),
        status=Status.FAILED if is_fault else Status.UNREADABLE,
        exit_code=trouble.exit_code,
        fault=trouble.trace,
    )


def _show(picture: _PictureTask) -> ShownPicture:
    """Paste the steps of one picture into the sheet."""
    task, plan, n, pieces = picture.sheet, picture.plan, picture.n, picture.pieces
    job, photograph = (
        task.job,
        decode(task.sources[picture.number, n], expected=plan.parts[n].facts),
    )
    base = print_base(job, plan.parts[n], photograph, sharpen=task.options.sharpen)
    small = reduced(base, picture_pixels(plan, n))
    size = step_size(plan.parts[n].pixels, task.frame)
    centre = task.options.at or _richest_centre(job, plan, n, small, size)
    crop = step_crop(plan.parts[n].pixels, size, centre)
    densities = {variant.step: variant.density for variant in plan.variants}
    wholes = {p.area.width: p.area for p in pieces if p.is_whole}
    thumbnails = {w: reduced(base, PixelSize(a.width, a.height)) for w, a in wholes.items()}
    for piece in pieces:
        density = densities[piece.step]
        if piece.is_whole:
            codes = print_codes(thumbnails[piece.area.width], job.lab, density)
        else:
            codes = print_codes(base, job.lab, density, crop)
        picture.paste(codes, piece.area)
    tones = measured_tones(small, job, plan.variants)
    found = (*photograph.facts.notes, *blocked_findings(job, plan.variants, tones))
    return ShownPicture(picture.number, n, crop, tones, found)


def _richest_centre(
    job: Job, plan: Plan, n: int, small: ProfiledImage, size: PixelSize
) -> tuple[float, float]:
    """The middle of the part with the most tones, away from what the mat will hide."""
    image, pixels = plan.layout.pictures[n], plan.parts[n].pixels
    hidden = image.hidden
    return representative_centre(
        lightness_map(small, job.lab),
        (size.width / pixels.width, size.height / pixels.height),
        edge=(
            hidden.nm / image.image.size.width.nm,
            hidden.nm / image.image.size.height.nm,
        ),
        black=job.paper.black_lightness,
    )
