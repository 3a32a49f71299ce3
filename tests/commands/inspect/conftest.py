"""Small pictures to look at, and marks made by hand in place of what the detectors find."""

from pathlib import Path
from typing import Any

import pytest

from proofs.commands.inspect import worker
from proofs.inspection.marks import Area, Inspection, Mark, MarkKind, surest_first
from proofs.lengths import Edge
from tests.command import gradient, write_entries
from tests.labs import write_labs
from tests.looks import RED, a_hair, a_speck, along

SIZE = (76.2, 50.8)
MARKS = (
    a_speck(20, 20),
    a_hair(40, 30, confidence=0.85),
    a_speck(0.5, 20),  # under the mat
    along(Edge.TOP, SIZE, width=4, start=0, colour=RED),
    Mark(MarkKind.LOST_EDGE, Area(0, 10, 1, 20), 2.0, 1.0, length_mm=20.0, side=Edge.LEFT),
    Mark(MarkKind.BLOCKED, Area(50, 30, 8, 8), 0.0, 1.0, area_mm2=64.0, step="A"),
)


@pytest.fixture
def looks(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Marks made by hand in place of the detectors; the list counts the pictures looked at."""
    counted: list[int] = []

    def inspect_print(base: Any, view: Any, profile: Any) -> Inspection:
        counted.append(base.image.width)
        return Inspection(surest_first(MARKS), 0.5, 0.2, (10.0, 10.0))

    monkeypatch.setattr(worker, "inspect_print", inspect_print)
    monkeypatch.setattr("proofs.run.workers.can_start_workers", lambda: False)
    monkeypatch.setattr("proofs.outside.digest_cache._GRAIN_NS", 20_000_000)
    return counted


@pytest.fixture
def pictures(tmp_path: Path) -> Path:
    """Three small pictures, two of them on one board."""
    folder = tmp_path / "pictures"
    folder.mkdir()
    write_labs(folder)
    for n, name in enumerate("abc"):
        gradient(folder / f"{name}.jpg", 300, 200, seed=n)
    write_entries(folder, "file,title,size", "a.jpg,Pier,long 3 in", "b.jpg | c.jpg,Two,long 3 in")
    return folder
