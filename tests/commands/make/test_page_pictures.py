"""The small pictures of the proof sheet, measured in its PDF, on a photograph that others took.

Sizes and tolerances are the user's own: 300 ppi of their size on the page, JPEG of quality 90, and
life size to 0.2 mm.
"""

import datetime
import io
import itertools
import shutil
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
from PIL import Image
from PIL.JpegImagePlugin import JpegImageFile

from proofs.commands.make.entries import tasks_of
from proofs.commands.make.entry_outcome import finished_outcome
from proofs.commands.make.order import MakeOptions, MakeResult, MakeTask
from proofs.commands.make.worker import make_entry
from proofs.outside.page_pdfs import draw_proof_sheet
from proofs.outside.run_folder import RunFolder
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Job
from proofs.run.inputs import read_inputs
from proofs.run.preflight import preflight
from tests.command import write_entries
from tests.commands.make.test_run import photographs_folder

ON_PAGE_MM = 0.2
MM_PER_POINT = 25.4 / 72
# Coffee, from scikit-image's wheel (CC0): 600 x 400 px.
PHOTOGRAPH = "coffee.png"
# A JPEG decoded again differs from the one it was cut from by its own rounding; seen to stay below.
JPEG_CODES = 3.0
MOCKUP_PX = 3  # pixels of the print in one of the mock-up


@dataclass(frozen=True, slots=True)
class Made:
    """One entry as a worker makes it, and its proof sheet."""

    job: Job
    task: MakeTask
    result: MakeResult
    outcome: Outcome
    sheet: bytes

    def file(self, name: str) -> bytes:
        return (self.task.folder / name).read_bytes()


def made_in(folder: Path, row: str, **options: bool) -> Made:
    """Make one entry of a photograph; ``row`` holds size, bracket and place to look at."""
    shutil.copy(photographs_folder() / PHOTOGRAPH, folder / PHOTOGRAPH)
    columns = "number,title,file,size,bracket,look_at"
    write_entries(folder, columns, f"1,Coffee,{PHOTOGRAPH},{row}")
    asked = MakeOptions(entries=(folder,), out=folder / "out", **options)  # type: ignore[arg-type]  # by name
    day = datetime.date(2026, 6, 1)
    ready = preflight(read_inputs(asked.entries, asked), font=None, today=day)
    (task,) = tasks_of(asked, ready, 1)
    result = make_entry(task)
    outcome = finished_outcome(task, result.parts, result.files.__getitem__)
    parts = asked.out / RunFolder.PARTS
    sheet = io.BytesIO()
    draw_proof_sheet(sheet, ready.job, [outcome], parts, asked, compact=asked.compact)
    return Made(ready.job, task, result, outcome, sheet.getvalue())


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    return made_in(tmp_path_factory.mktemp("coffee"), "long 12 in,")


@dataclass(frozen=True, slots=True)
class Shown:
    """A picture on a page: its size there in mm, and its pixels."""

    width: float
    height: float
    pixels: tuple[int, int]


def shown_on(pdf: bytes, page: int) -> list[Shown]:
    objects = pdfium.PdfDocument(pdf)[page].get_objects()
    found = []
    for each in objects:
        if isinstance(each, pdfium.PdfImage):
            left, bottom, right, top = each.get_bounds()
            size = (right - left) * MM_PER_POINT, (top - bottom) * MM_PER_POINT
            found.append(Shown(*size, each.get_px_size()))
    return found


def steps_and_parts(made: Made) -> tuple[list[Shown], list[Shown]]:
    """What the entry's page shows of the steps, and the parts of them; the mount left out."""
    part = made.outcome.life_size
    assert part is not None
    shown = shown_on(made.sheet, 1)
    count = len(made.outcome.steps)
    return shown[:count], shown[count : 2 * count]


def test_steps_have_300_pixels_per_inch_of_their_size_on_the_page(made: Made) -> None:
    steps, _ = steps_and_parts(made)
    assert len(steps) == 4
    found = [step.pixels[0] / (step.width / 25.4) for step in steps]
    # A whole pixel in 800 is the most that rounding may make. What the pixels show (here that much
    # of the shadows is lost) is said on the page too, and may leave the steps a little less room.
    assert all(300 * 0.998 <= ppi <= 300 * 1.12 for ppi in found)


def test_a_step_shows_what_is_seen_of_the_picture(made: Made) -> None:
    (step, *_), _ = steps_and_parts(made)
    # 12 x 8 in less 1/8 in on each side.
    assert step.width / step.height == pytest.approx(11.75 / 7.75, rel=0.002)


def test_a_small_picture_shows_what_the_print_does_in_its_place(made: Made) -> None:
    # What is seen of the print, 1/8 in from its edges, reduced by Pillow.
    printed = next(step for step in made.outcome.steps if step.print_files)
    whole = Image.open(io.BytesIO(made.file(printed.print_files[0].file)))
    small = np.asarray(Image.open(io.BytesIO(made.file(printed.small_pictures[0]))), float)
    edge, size = made.job.lab.ppi / 8, small.shape[1::-1]

    def off_by(place: tuple[int, ...]) -> float:
        across, down = place
        box = (edge + across, edge + down, whole.width - edge + across, whole.height - edge + down)
        shown = whole.resize(size, Image.Resampling.LANCZOS, box=box)
        return float(np.abs(np.asarray(shown, float) - small).mean())

    best = min(itertools.product(range(-6, 7, 2), repeat=2), key=off_by)
    assert off_by(best) < JPEG_CODES
    assert max(map(abs, best)) <= MOCKUP_PX / 2 + 1  # half a pixel, and what the search misses


def test_parts_are_at_life_size(made: Made) -> None:
    _, parts = steps_and_parts(made)
    ppi = made.job.lab.ppi
    for_print = [(px / ppi * 25.4, py / ppi * 25.4) for px, py in (p.pixels for p in parts)]
    on_page = [(part.width, part.height) for part in parts]
    assert np.abs(np.subtract(for_print, on_page)).max() < ON_PAGE_MM
    assert np.abs(np.subtract(on_page, (40, 30))).max() < ON_PAGE_MM


def test_a_part_is_cut_out_of_the_print_at_its_place(made: Made) -> None:
    outcome, ppi = made.outcome, made.job.lab.ppi
    printed = next(step for step in outcome.steps if step.print_files)
    assert outcome.plan is not None
    assert outcome.life_size is not None
    image = outcome.plan.layout.pictures[0].image
    place = outcome.life_size.place.counted_from(image)
    left, top = round(place.left.inches * ppi), round(place.top.inches * ppi)
    whole = np.asarray(Image.open(io.BytesIO(made.file(printed.print_files[0].file))), int)
    part = np.asarray(Image.open(io.BytesIO(made.file(printed.life_size))), int)
    cut = whole[top : top + part.shape[0], left : left + part.shape[1]]
    assert np.abs(cut - part).mean() < JPEG_CODES
    moved = whole[top + 4 : top + 4 + part.shape[0], left + 4 : left + 4 + part.shape[1]]
    assert np.abs(moved - part).mean() > np.abs(cut - part).mean()


def test_the_entry_names_the_place_to_look_at(tmp_path: Path) -> None:
    asked = made_in(tmp_path, "long 12 in,,0.75 0.5")
    assert asked.outcome.plan is not None
    assert asked.outcome.life_size is not None
    image = asked.outcome.plan.layout.pictures[0].image
    part = asked.outcome.life_size.place.counted_from(image)
    across = (part.left.mm + part.size.width.mm / 2) / image.size.width.mm
    down = (part.top.mm + part.size.height.mm / 2) / image.size.height.mm
    assert (across, down) == pytest.approx((0.75, 0.5), abs=1 / 2400)  # half a pixel


def test_every_step_shows_the_same_place(made: Made) -> None:
    parts = [
        np.asarray(Image.open(io.BytesIO(made.file(s.life_size))), float)
        for s in made.outcome.steps
    ]
    means = [part.mean() for part in parts]
    assert means == sorted(means, reverse=True)  # ever darker
    shifted = [np.corrcoef(parts[0].ravel(), part.ravel())[0, 1] for part in parts[1:]]
    assert min(shifted) > 0.98


def test_small_pictures_are_jpegs_of_quality_90(made: Made) -> None:
    stream = io.BytesIO()
    Image.new("RGB", (8, 8)).save(stream, "JPEG", quality=90)
    stream.seek(0)
    wanted = JpegImageFile(stream).quantization
    names = [name for name in made.result.files if name.startswith("page-pictures/")]
    assert len(names) == 9  # one of them is the small mount of the hang
    assert all(JpegImageFile(io.BytesIO(made.file(n))).quantization == wanted for n in names)


def test_a_picture_is_in_the_file_once_for_each_step(made: Made) -> None:
    names = [name for name in made.result.files if name.startswith("page-pictures/")]
    names = [name for name in names if "_hung" not in name]
    assert {made.sheet.count(made.file(name)) for name in names} == {1}


def test_the_same_entry_gives_the_same_pictures_and_the_same_sheet(
    made: Made, tmp_path: Path
) -> None:
    again = made_in(tmp_path, "long 12 in,")
    assert again.result.files == made.result.files
    assert again.sheet == made.sheet


def test_all_that_a_task_names_is_made(made: Made) -> None:
    assert set(made.task.file_names) == set(made.result.files)


def test_an_entry_that_breaks_a_rule_has_steps_but_no_parts(tmp_path: Path) -> None:
    broken = made_in(tmp_path, "long 9 in,0; +0.10")
    assert broken.outcome.life_size is None
    assert [len(step.small_pictures) for step in broken.outcome.steps] == [1, 1]
    assert set(broken.task.file_names) == set(broken.result.files)


def test_a_compact_page_has_no_parts(tmp_path: Path) -> None:
    half = made_in(tmp_path, "long 12 in,0; +0.10", compact=True)
    assert half.outcome.life_size is None
    assert set(half.task.file_names) == set(half.result.files)
    (step, *_) = shown_on(half.sheet, 1)
    assert step.pixels[0] / (step.width / 25.4) == pytest.approx(300, rel=0.003)
