"""One sheet of test strips from its photographs to its file: what a worker process does."""

import hashlib
import os
import traceback
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from proofs.errors import FAULT_CODE, PhotographError, ProofsError
from proofs.findings import Finding, Severity
from proofs.inspection.representative_area import representative_centre
from proofs.lengths import PixelSize
from proofs.outside.files import write_whole
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
from proofs.plan.mockup import picture_pixels
from proofs.plan.outcomes import Outcome, Tones
from proofs.plan.planning import Plan
from proofs.plan.sizing import Crop
from proofs.plan.strip_foot import Foot
from proofs.plan.strip_packing import StripPiece, StripSheet
from proofs.plan.strips import StripFrame, step_crop, step_size
from proofs.records.job import Job
from proofs.run.print_files import print_base
from proofs.run.step_tones import blocked_findings, measured_tones

_PREVIEW_PPI = 150
_MISSING = 62258  # a light grey, L* 95, where a picture could not be read


@dataclass(frozen=True, slots=True)
class StripOptions:
    """What a run of test strips is asked for.

    ``at`` is the middle of the part to show, as shares from left and top; None lets the
    picture decide. ``sharpen`` and ``font`` are as for print files.
    """

    at: tuple[float, float] | None = None
    sharpen: str | None = None
    font: Path | None = None


@dataclass(frozen=True, slots=True)
class StripTask:
    """All that a worker needs for one sheet.

    ``outcomes`` are by entry number, ``sources`` by that and the picture, counted from 0.
    """

    job: Job
    frame: StripFrame
    sheet: StripSheet
    head: Block
    foot: Foot
    outcomes: dict[str, Outcome]
    sources: dict[tuple[str, int], Path]
    number: int
    folder: Path
    name: str
    wishes: StripOptions


@dataclass(frozen=True, slots=True)
class ShownPicture:
    """What a sheet shows of one picture: the part, in pixels of its print, and its tones."""

    entry: str
    picture: int = 0
    crop: Crop | None = None
    tones: tuple[Tones, ...] = ()
    findings: tuple[Finding, ...] = ()
    status: str = ""


@dataclass(frozen=True, slots=True)
class StripResult:
    """What became of a sheet; ``preview`` is it as a small JPEG, empty where it was not made."""

    number: int
    shown: tuple[ShownPicture, ...] = ()
    sha256: str = ""
    preview: bytes = b""
    exit_code: int = 0
    fault: str = ""
    problem: str = ""


@dataclass(slots=True)
class _Canvas:
    """The sheet being filled; used up within one call."""

    codes: Codes
    faults: list[str] = field(default_factory=list)

    def paste(self, codes: Codes, area: Area) -> None:
        self.codes[area.top : area.bottom, area.left : area.right] = codes


def make_sheet(task: StripTask) -> StripResult:
    """Make the file of one sheet and return what became of it; nothing is ever raised.

    A photograph that cannot be read leaves its places grey; the others on the sheet go on.
    """
    try:
        prepare(threads=1)
        return _made(task)
    except ProofsError as error:
        problem = str(error).replace(f"{task.folder}{os.sep}", "")
        return StripResult(task.number, exit_code=error.exit_code, problem=problem)
    except Exception:  # a fault of the program: told with its trace, the other sheets go on
        trace = traceback.format_exc()
        problem = f"a fault of the program: {trace.strip().splitlines()[-1]}"
        return StripResult(task.number, exit_code=FAULT_CODE, fault=trace, problem=problem)


def lost_sheet(task: StripTask) -> StripResult:
    """Return what became of a sheet whose worker process died, twice."""
    reason = "the worker process died; is there enough memory? Try --jobs 1"
    return StripResult(task.number, exit_code=FAULT_CODE, problem=reason)


def _made(task: StripTask) -> StripResult:
    canvas = _Canvas(grey_codes(_greys(task), task.job.lab))
    shown = tuple(_shown(task, canvas, number, n) for number, n in task.sheet.pictures)
    content = sheet_file(canvas.codes, task.job.lab)
    write_whole(task.folder / task.name, content)
    width = max(1, task.frame.sheet.width * _PREVIEW_PPI // task.frame.ppi)
    return StripResult(
        task.number,
        shown,
        hashlib.sha256(content).hexdigest(),
        preview_jpeg(content, min(width, task.frame.sheet.width)),
        max((_code(entry) for entry in shown), default=0),
        "\n".join(canvas.faults),
    )


def _code(shown: ShownPicture) -> int:
    return {"unreadable": PhotographError.exit_code, "failed": FAULT_CODE}.get(shown.status, 0)


def _greys(task: StripTask) -> Codes:
    """The sheet without its pictures."""
    fonts, frame = load_fonts(task.wishes.font), task.frame
    setter = Setter(fonts.width, frame.head.width * 72 / frame.ppi)
    names = {(i, n): _name(task.outcomes[i], n) for i, n in task.sheet.pictures}
    marks = (
        *sheet_marks(frame, task.sheet, names, task.head, setter),
        *foot_marks(frame, task.foot, setter),
    )
    return sheet_greys(frame, marks, task.foot, fonts)


def _name(outcome: Outcome, n: int) -> str:
    """What stands under a picture: the number, which of several it is, and the title."""
    which = f", picture {n + 1}" if len(outcome.entry.pictures) > 1 else ""
    return f"{outcome.entry.number}{which} · {outcome.entry.title}"


def _shown(task: StripTask, canvas: _Canvas, number: str, n: int) -> ShownPicture:
    pieces = [p for p in task.sheet.pieces if (p.entry, p.picture) == (number, n)]
    outcome = task.outcomes[number]
    plan = outcome.plan
    if plan is None:
        raise ValueError(f"entry {number} is on a sheet without a plan")
    try:
        return _picture(task, canvas, plan, n, pieces)
    except PhotographError as error:
        reason = str(error).replace(str(task.sources[number, n]), plan.parts[n].file)
        found, status = Finding(error.code, Severity.UNREADABLE, reason), "unreadable"
    except Exception:  # a fault of the program: its trace is logged, the other entries go on
        trace = traceback.format_exc()
        canvas.faults.append(trace)
        reason = f"a fault of the program: {trace.strip().splitlines()[-1]}"
        found, status = Finding("failed", Severity.UNREADABLE, reason), "failed"
    grey = grey_codes(np.full((1, 1), _MISSING, np.uint16), task.job.lab)
    for piece in pieces:
        canvas.paste(grey, piece.area)
    return ShownPicture(number, n, findings=(found,), status=status)


def _picture(
    task: StripTask, canvas: _Canvas, plan: Plan, n: int, pieces: Sequence[StripPiece]
) -> ShownPicture:
    job, photograph = task.job, decode(task.sources[plan.entry.number, n])
    base = print_base(job, plan.parts[n], photograph, sharpen=task.wishes.sharpen)
    small = reduced(base, picture_pixels(plan, n))
    size = step_size(plan.parts[n].pixels, task.frame)
    centre = task.wishes.at or _telling(job, plan, n, small, size)
    crop = step_crop(plan.parts[n].pixels, size, centre)
    densities = {variant.step: variant.density for variant in plan.variants}
    wholes = {p.area.width: p.area for p in pieces if p.is_whole}
    tiny = {w: reduced(base, PixelSize(a.width, a.height)) for w, a in wholes.items()}
    for piece in pieces:
        density = densities[piece.step]
        if piece.is_whole:
            codes = print_codes(tiny[piece.area.width], job.lab, density)
        else:
            codes = print_codes(base, job.lab, density, crop)
        canvas.paste(codes, piece.area)
    tones = measured_tones(small, job, plan.variants)
    found = (*photograph.facts.notes, *blocked_findings(job, plan.variants, tones))
    return ShownPicture(plan.entry.number, n, crop, tones, found)


def _telling(
    job: Job, plan: Plan, n: int, small: ProfiledImage, size: PixelSize
) -> tuple[float, float]:
    """The middle of the part that tells most, away from what the mat will hide."""
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
