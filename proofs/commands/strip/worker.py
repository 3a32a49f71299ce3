"""The work of one worker: one sheet of test strips, from its photographs to its file."""

import functools
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from proofs.findings import Finding
from proofs.lengths import PixelSize, Size
from proofs.outside.files import sha256_of_bytes, write_whole
from proofs.outside.fonts import load_fonts
from proofs.outside.pixels.measure.lightness import lightness_map
from proofs.outside.pixels.prints.composition import Codes, grey_codes, print_codes
from proofs.outside.pixels.prints.encoding import preview_jpeg, sheet_file
from proofs.outside.pixels.resize.print_size import reduced
from proofs.outside.pixels.resize.screen_size import reduced_for_screen
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.outside.strip_drawing import sheet_greys
from proofs.pages.drawing import Block
from proofs.pages.strip.sheet import foot_marks, sheet_marks
from proofs.pages.typography import Setter
from proofs.pixel_areas import Area
from proofs.plan.checks.outcomes import Tones
from proofs.plan.entry.mockup import picture_pixels
from proofs.plan.entry.planning import Plan
from proofs.plan.sheets.strip_packing import StripPiece, StripSheet
from proofs.plan.sheets.strip_sheet import StripFoot, StripFrame, step_crop, step_size
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.papers import Sharpening
from proofs.run.inputs import EntriesOptions
from proofs.run.print_files import image_base, print_base
from proofs.run.representative_part import part_to_compare
from proofs.run.step_tones import blocked_findings, measured_tones
from proofs.run.workers import Trouble, guarded

_PREVIEW_PPI = 150
_MISSING = 62258  # a light grey, L* 95, in place of a picture that could not be read


@dataclass(frozen=True, slots=True, kw_only=True)
class StripOptions(EntriesOptions):
    """The options of ``strip``.

    ``sheet`` is the paper sheet, None for the default size. ``at`` is the middle of the part to
    show, as shares of the picture from its left and top; None picks the part with the most
    tones. ``sharpen``, ``paper_size``, ``jobs``, ``cluster`` and ``again`` are as
    in ``MakeOptions``.
    """

    out: Path
    sheet: Size | None = None
    edge_to_edge: bool = False
    at: tuple[float, float] | None = None
    proof_prints: bool = False
    sharpen: Sharpening | None = None
    paper_size: str = "a4"
    jobs: int | None = None
    cluster: str = ""
    again: bool = False


Picture = tuple[str, int]
"""One picture: the number of its entry, and its place in the entry, from 0."""


@dataclass(frozen=True, slots=True)
class StripTask:
    """All that a worker needs for one sheet; its file goes into ``folder``.

    ``number`` counts the sheets from 1; ``plans`` are by entry number.
    """

    job: Job
    frame: StripFrame
    sheet: StripSheet
    head: Block
    foot: StripFoot
    plans: dict[str, Plan]
    sources: dict[Picture, Path]
    number: int
    folder: Path
    name: str
    options: StripOptions

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The pictures as the entries file names them; the folder is not named."""
        files = ((path, self.plans[i].parts[n].file) for (i, n), path in self.sources.items())
        return (*files, (self.folder, ""))


@dataclass(frozen=True, slots=True)
class ShownPicture:
    """The part of one picture that a sheet shows, in pixels of its print, and its tones.

    ``sha256`` is that of the picture's file.
    """

    sha256: str
    crop: Area
    tones: tuple[Tones, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class StripResult:
    """The result of a sheet: its pictures, or what stopped them.

    ``preview`` is a small JPEG, or None for a sheet that an earlier run made.
    """

    pictures: dict[Picture, ShownPicture | Trouble]
    sha256: str
    preview: bytes | None = None

    @property
    def troubles(self) -> tuple[Trouble, ...]:
        """What stopped pictures."""
        return tuple(shown for shown in self.pictures.values() if isinstance(shown, Trouble))


def make_sheet(task: StripTask) -> StripResult:
    """Make the file of one sheet and return the result.

    The places of a photograph that cannot be read stay grey; the other photographs are shown.
    """
    prepare(threads=1)
    canvas = grey_codes(_blank_sheet(task), task.job.lab)
    pictures = {}
    for picture in task.sheet.pictures:
        pictures[picture] = guarded(functools.partial(_show, canvas, picture), task)
        if isinstance(pictures[picture], Trouble):
            _leave_grey(canvas, picture, task)
    content = sheet_file(canvas, task.job.lab)
    write_whole(task.folder / task.name, content)
    return StripResult(pictures, sha256_of_bytes(content), sheet_preview(content, task.frame))


def sheet_preview(content: bytes, frame: StripFrame) -> bytes:
    """Return a finished sheet as a small JPEG."""
    width = max(1, frame.sheet.width * _PREVIEW_PPI // frame.ppi)
    return preview_jpeg(content, min(width, frame.sheet.width))


def _blank_sheet(task: StripTask) -> Codes:
    """The sheet without its pictures."""
    fonts, frame = load_fonts(task.options.font), task.frame
    setter = Setter(fonts.width, frame.head.width * 72 / frame.ppi)
    names = {(i, n): caption(task.plans[i].entry, n) for i, n in task.sheet.pictures}
    marks = (
        *sheet_marks(frame, task.sheet, names, task.head, setter),
        *foot_marks(frame, task.foot, setter),
    )
    return sheet_greys(frame, marks, task.foot, fonts)


def caption(entry: Entry, n: int) -> str:
    """Return the caption of a picture: its entry's number and title, and which of several it is."""
    which = f", picture {n + 1}" if len(entry.pictures) > 1 else ""
    return f"{entry.number}{which} · {entry.title}"


def _pieces(task: StripTask, picture: Picture) -> list[StripPiece]:
    return [p for p in task.sheet.pieces if (p.entry, p.picture) == picture]


def _paste(canvas: Codes, codes: Codes, area: Area) -> None:
    canvas[area.top : area.bottom, area.left : area.right] = codes


def _leave_grey(canvas: Codes, picture: Picture, task: StripTask) -> None:
    """Fill the places of a picture that cannot be shown with grey."""
    grey = grey_codes(np.full((1, 1), _MISSING, np.uint16), task.job.lab)
    for piece in _pieces(task, picture):
        _paste(canvas, grey, piece.area)


def _show(canvas: Codes, picture: Picture, task: StripTask) -> ShownPicture:
    """Paste the steps of one picture into the sheet."""
    (number, n), job, pieces = picture, task.job, _pieces(task, picture)
    plan = task.plans[number]
    part = plan.parts[n]
    photograph = decode(task.sources[picture], expected=part.facts)
    base = image_base(print_base(job, part, photograph, sharpen=task.options.sharpen), part)
    small = reduced_for_screen(base, picture_pixels(plan, n))
    size = step_size(part.pixels, task.frame)
    lightness = lightness_map(small, job.lab)
    centre = task.options.at or part_to_compare(job, plan, n, lightness, size)
    crop = step_crop(part.pixels, size, centre)
    densities = {variant.step: variant.density for variant in plan.variants}
    wholes = {p.area.width: p.area for p in pieces if p.is_whole}
    thumbnails = {w: reduced(base, PixelSize(a.width, a.height)) for w, a in wholes.items()}
    for piece in pieces:
        density = densities[piece.step]
        if piece.is_whole:
            codes = print_codes(thumbnails[piece.area.width], job.lab, density)
        else:
            codes = print_codes(base, job.lab, density, crop)
        _paste(canvas, codes, piece.area)
    tones = measured_tones(small, job, plan.variants)
    found = (*photograph.facts.notes, *blocked_findings(job, plan.variants, tones))
    return ShownPicture(photograph.sha256, crop, tones, found)
