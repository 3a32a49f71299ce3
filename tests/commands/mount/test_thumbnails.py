"""The small pictures beside labels, as a worker makes them; the pictures are made up."""

import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from proofs.commands.mount.thumbnails import ThumbnailTask, both_sides, thumbnails_of
from proofs.lengths import Edge
from proofs.outside.pixels.source.decode import read_facts
from proofs.plan.bench.labels import BothSides
from proofs.plan.entry.planning import plan_entry
from proofs.records.job import Job
from proofs.records.mounts import WindowShape
from proofs.run.workers import Workers
from tests.command import in_process, write_entries
from tests.workbench import a_job, a_mount, an_entry

Codes = NDArray[np.int_]
RED = (200, 30, 30)
NEARLY = 14  # codes: JPEG twice


@pytest.fixture
def red_above(tmp_path: Path) -> Path:
    """A picture whose upper half is red, and whose lower half is white."""
    path = tmp_path / "a.png"
    image = Image.new("RGB", (600, 400), (255, 255, 255))
    image.paste(RED, (0, 0, 600, 200))
    image.save(path)
    return path


def made(path: Path, job: Job, **cells: Any) -> tuple[Codes, Codes]:
    """The front and the back of a picture, decoded."""
    plan = plan_entry(job, an_entry("long 12 in", file=path.name, **cells), read_facts(path))
    (sides,) = both_sides(ThumbnailTask(job, plan, (path,)))
    front, back = (decoded(content) for content in (sides.front, sides.back))
    return front, back


def decoded(content: bytes) -> Codes:
    with Image.open(io.BytesIO(content)) as image:
        return np.asarray(image).astype(int)


def test_a_picture_is_shown_as_it_hangs_and_mirrored_and_faint_on_the_back(
    red_above: Path,
) -> None:
    # The file's left edge is up, so its top, which is red, is on the right (geometry).
    front, back = made(red_above, a_job(), top_edge=Edge.LEFT)
    height, width = front.shape[:2]
    assert height > width
    assert back.shape == front.shape
    middle, right, left = height // 2, width * 3 // 4, width // 4
    assert np.abs(front[middle, right] - RED).max() <= NEARLY
    assert np.abs(front[middle, left] - 255).max() <= NEARLY
    assert np.abs(back[middle, right] - 255).max() <= NEARLY
    assert 0.2 < (255 - back[middle, left, 1]) / (255 - RED[1]) < 0.5


def test_only_what_is_seen_is_shown(red_above: Path) -> None:
    # 12 x 8 in less 1/8 in on each side, at 36 px an inch.
    front, _ = made(red_above, a_job())
    assert front.shape[:2] == (279, 423)


def test_an_oval_leaves_the_corners_of_the_back_white(red_above: Path) -> None:
    _, back = made(red_above, a_job(mount=a_mount(shape=WindowShape.OVAL)))
    assert back[2:8, 2:8].min() > 255 - NEARLY
    assert back[20, back.shape[1] // 2, 1] < 200


def test_a_picture_that_cannot_be_read_is_left_out(red_above: Path, tmp_path: Path) -> None:
    job = a_job()
    plan = plan_entry(job, an_entry("long 12 in", file="a.png"), read_facts(red_above))
    lost = ThumbnailTask(job, plan, (tmp_path / "none.png",))
    assert thumbnails_of([lost], Workers(1)) == {}
    found = thumbnails_of([ThumbnailTask(job, plan, (red_above,))], Workers(1))
    assert [len(sides) for sides in found.values()] == [1]
    assert isinstance(found[plan.entry.number][0], BothSides)


def test_a_stopped_run_ends_before_anything_is_written(red_above: Path) -> None:
    job = a_job()
    plan = plan_entry(job, an_entry("long 12 in", file="a.png"), read_facts(red_above))
    task = ThumbnailTask(job, plan, (red_above,))
    with pytest.raises(KeyboardInterrupt):
        thumbnails_of([task], Workers(1, is_stopped=lambda: True))


def test_another_picture_of_the_same_size_redoes_the_labels_alone(red_above: Path) -> None:
    folder = red_above.parent
    write_entries(folder, "number,title,file,size", "1,Half,a.png,long 12 in")
    words = ("mount", folder, "--out", folder / "bench")
    assert in_process(*words).code == 0
    assert "files: 0 made, 4 kept" in in_process(*words).out
    Image.new("RGB", (600, 400), (20, 120, 40)).save(red_above)
    assert "files: 1 made, 3 kept" in in_process(*words).out


def test_a_picture_that_is_cut_short_costs_no_label(tmp_path: Path) -> None:
    whole = io.BytesIO()
    Image.effect_noise((900, 600), 60).convert("RGB").save(whole, "JPEG")
    (tmp_path / "a.jpg").write_bytes(whole.getvalue()[:-9000])
    write_entries(tmp_path, "number,title,file,size", "1,Half,a.jpg,long 12 in")
    said = in_process("mount", tmp_path, "--out", tmp_path / "bench")
    assert said.code == 0, said.out + said.err
    assert (tmp_path / "bench" / "labels.pdf").is_file()
