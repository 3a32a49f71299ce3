"""What a worker finds in real pixels: edges are judged where the mat begins, not under it."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from proofs.commands.inspect.order import InspectTask
from proofs.commands.inspect.worker import inspect_picture
from proofs.inspection.marks import Mark, MarkKind
from proofs.lengths import Edge
from proofs.outside.pixels.source.decode import read_facts
from proofs.plan.entry.planning import plan_entry
from tests.workbench import SHIPPED, a_job, an_entry

_PX_PER_MM = 300 / 25.4


def looked_at(path: Path, white_mm: float) -> tuple[Mark, ...]:
    """The lost edges of a grey picture of 3 x 2 in whose left side is white this far."""
    random = np.random.default_rng(1)
    codes = random.normal(110, 4, (600, 900, 1)).repeat(3, axis=2).clip(40, 180)
    codes[:, : round(white_mm * _PX_PER_MM)] = 252
    Image.fromarray(codes.astype(np.uint8)).save(path)
    job = a_job()
    plan = plan_entry(job, an_entry("3x2 in"), read_facts(path))
    quick = SHIPPED.inspection("quick")
    task = InspectTask(job, plan, 0, path, path.parent, "one", quick, with_files=False)
    marks = inspect_picture(task).look.inspection.marks
    return tuple(mark for mark in marks if mark.kind is MarkKind.LOST_EDGE)


def test_an_edge_that_is_lost_under_the_mat_alone_is_not_lost(tmp_path: Path) -> None:
    assert looked_at(tmp_path / "a.png", 3.0) == ()  # the mat hides 3.175 mm


def test_an_edge_is_lost_where_the_mat_begins(tmp_path: Path) -> None:
    (lost,) = looked_at(tmp_path / "a.png", 6.0)
    assert lost.side is Edge.LEFT
    assert lost.area.left == pytest.approx(3.175, abs=0.05)  # half a pixel
    assert lost.area.top == pytest.approx(3.175, abs=0.05)
    assert lost.length_mm == pytest.approx(50.8 - 2 * 3.175, abs=1.1)  # in pieces of 1 mm
