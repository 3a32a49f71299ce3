"""How accurately mats are cut and prints placed, and the scale that cuts are set by."""

from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Unit
from proofs.measures import read_length
from proofs.records.tables import Profile, Table


@dataclass(frozen=True, slots=True)
class Cutter(Profile):
    """A way of cutting mats.

    ``cut`` is how far one cut may be off its line, and ``placing`` how far the print may be off
    its place behind the opening. ``reading`` is how far a ruler's reading of a print may be off;
    None is 1/32 in, or 0.5 mm. ``unit`` and ``step`` are those of the scale; None follows the unit
    of the rules. ``scale_offset`` is added to the border to get the setting on the scale; it
    may be negative. ``overrun`` is how far a cut runs past the corner; None is what the bevel
    needs. With a stop (``has_stop``) the scale is set once for many cuts; without one each line is
    drawn. ``reach`` is the widest border that the scale can be set to; None is any.
    """

    cut: Length
    placing: Length
    reading: Length | None = None
    unit: Unit | None = None
    step: Length | None = None
    scale_offset: Length = ZERO
    overrun: Length | None = None
    has_stop: bool = True
    reach: Length | None = None


def read_cutter(table: Table, name: str) -> Cutter:
    """Return the cutter that a profile describes."""
    tolerance, scale = table.table("tolerance"), table.table("scale")
    cutter = Cutter(
        *table.heading(name),
        cut=tolerance.length("cut"),
        placing=tolerance.length("placing"),
        reading=tolerance.length_or_none("reading"),
        unit=scale.choice_or_none("unit", (Unit.IN, Unit.MM)),
        step=scale.length_or_none("step"),
        scale_offset=_signed(scale, "scale_offset"),
        overrun=scale.length_or_none("overrun"),
        has_stop=scale.boolean("stop", default=True),
        reach=scale.length_or_none("reach"),
    )
    if cutter.step is not None and not cutter.step:
        scale.refuse("step", "the distance between two marks, such as '1/16 in' or '1 mm'")
    if cutter.step is not None and not cutter.unit:
        scale.refuse("unit", "'in' or 'mm', the unit of the step", rests_on=["scale.step"])
    if cutter.reach is not None and not cutter.reach:
        scale.refuse("reach", "the widest border that the stop can be set to, such as '5 in'")
    if cutter.reach is not None and not cutter.has_stop:
        scale.refuse("reach", "no reach, because 'stop' is false", rests_on=["scale.stop"])
    table.refuse_unknown()
    return cutter


def _signed(table: Table, key: str) -> Length:
    """A length that may be negative."""
    text = table.text(key, default="0 mm").replace("\u2212", "-")
    try:
        length = read_length(text.removeprefix("-").removeprefix("+"))
    except ValueError:
        table.refuse(key, "a length such as '1/32 in' or '-0.5 mm'")
        return ZERO
    return -length if text.startswith("-") else length
