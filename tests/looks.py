"""Marks and looks made by hand, for what is done with them."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

from proofs.inspection.inspected import InspectedPicture, PictureLook
from proofs.inspection.marks import Area, Inspection, Mark, MarkKind, surest_first
from proofs.lengths import Edge
from proofs.plan.entry.planning import Plan
from proofs.records.spotted import SPOTTED_COLUMNS, Tick, TickWord
from tests.command import Said, in_process

SHA256 = "0123456789abcdef" * 4
WHITE, RED, BLACK = (97.0, 0.0, 0.5), (45.0, 60.0, 40.0), (8.0, 0.0, 0.0)


def a_speck(left: float, top: float, side: float = 0.5, **changes: Any) -> Mark:
    """Return a dark speck of 20 L* whose area has its top left here, in mm."""
    speck = Mark(
        MarkKind.SPECK, Area(left, top, side, side), -20.0, 0.9, area_mm2=0.785 * side * side
    )
    return replace(speck, **changes)


def a_hair(left: float, top: float, **changes: Any) -> Mark:
    """Return a light hair 20 mm long."""
    area = Area(left, top, 18, 8)
    hair = Mark(MarkKind.LINE, area, 9.0, 0.8, length_mm=20.0, width_mm=0.12)
    return replace(hair, **changes)


def along(
    side: Edge,
    size_mm: tuple[float, float],
    *,
    width: float,
    start: float = 0.0,
    **changes: Any,
) -> Mark:
    """Return a white border along a whole side, or a stroke that begins ``start`` inside it."""
    wide, high = size_mm
    area = {
        Edge.TOP: Area(0, start, wide, width),
        Edge.BOTTOM: Area(0, high - start - width, wide, width),
        Edge.LEFT: Area(start, 0, width, high),
        Edge.RIGHT: Area(wide - start - width, 0, width, high),
    }[side]
    length = wide if side in (Edge.TOP, Edge.BOTTOM) else high
    kind = MarkKind.STROKE if start else MarkKind.BORDER
    mark = Mark(kind, area, 40.0, 1.0, length_mm=length, width_mm=width, side=side, colour=WHITE)
    return replace(mark, **changes)


def a_look(*marks: Mark, **changes: Any) -> PictureLook:
    """Return what was found in a picture: these marks, in two thirds of it."""
    return PictureLook(
        replace(Inspection(surest_first(marks), 0.66, 0.2, (10.0, 20.0)), **changes), SHA256
    )


def looked_at(
    plan: Plan, *marks: Mark, n: int = 0, ticks: tuple[Tick, ...] = ()
) -> InspectedPicture:
    """Return a picture of a plan in which these marks were found."""
    return InspectedPicture.of_look(plan, n, a_look(*marks), ticks)


def a_tick(plan: Plan, mark: Mark, word: TickWord = TickWord.MEANT) -> Tick:
    """Return the tick of a mark in the first picture of a plan."""
    return replace(looked_at(plan, mark).tick(mark), word=word)


def inspect(pictures: Path, *more: str) -> Said:
    """Run ``inspect`` on a folder of pictures, into the folder ``look`` next to it."""
    out = pictures.parent / "look"
    return in_process("inspect", pictures, "--out", out, "--lab", "small", "--rules", "none", *more)


def record_of(pictures: Path) -> Any:
    """Return the record that it left."""
    return json.loads((pictures.parent / "look" / "inspection.json").read_text(encoding="utf-8"))


def tick_off(pictures: Path, *ticks: str) -> None:
    """Write ``spotted.csv`` with these rows."""
    lines = [",".join(SPOTTED_COLUMNS), *ticks]
    (pictures / "spotted.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def ticks_in(pictures: Path, kind: str, entry: int = 0) -> list[str]:
    """Return the lines to paste for the marks of a kind that the mat does not hide."""
    marks = record_of(pictures)["entries"][entry]["pictures"][0]["marks"]
    return [mark["tick"] for mark in marks if mark["kind"] == kind and not mark["hidden"]]
