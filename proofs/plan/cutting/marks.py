"""The marks that a cutter is set to, and lengths in their unit."""

from dataclasses import dataclass
from fractions import Fraction

from proofs.lengths import Length, Size, Unit, half_up, inch_fraction, inches, millimetres, shown
from proofs.records.job import Job

_FINEST = 64  # the finest fraction of an inch on a ruler
_RULER = {Unit.IN: inches("1/32"), Unit.MM: millimetres("0.5")}
_USUAL = {Unit.IN: inches("1/16"), Unit.MM: millimetres(1)}  # common practice, no source


@dataclass(frozen=True, slots=True)
class Marks:
    """The marks of a scale: ``step`` apart, counted in ``unit``, inches or millimetres."""

    step: Length
    unit: Unit

    def below(self, length: Length) -> Length:
        """Return the last mark that is not beyond a length.

        >>> Marks(millimetres(1), Unit.MM).below(millimetres("10.7")) == millimetres(10)
        True
        """
        return self.step * (length.nm // self.step.nm)

    def above(self, length: Length) -> Length:
        """Return the first mark that is not short of a length."""
        return -self.below(-length)

    def nearest(self, length: Length) -> Length:
        """Return the mark nearest to a length; of two equally near, the smaller."""
        return -self.step * half_up(Fraction(-length.nm, self.step.nm))

    @property
    def fine(self) -> "Marks":
        """The marks of a ruler that is read by eye, or these marks if they are finer."""
        return Marks(min(self.step, _RULER[self.unit]), self.unit)

    @property
    def other(self) -> "Marks":
        """The same marks, with their lengths in the other unit."""
        return Marks(self.step, Unit.MM if self.unit == Unit.IN else Unit.IN)

    def number(self, length: Length) -> str:
        """Return a length as a number in the unit, a fraction of an inch where a ruler has one.

        >>> Marks(inches("1/32"), Unit.IN).number(inches("10.03125"))
        '10 1/32'
        >>> Marks(millimetres(1), Unit.MM).number(inches(1))
        '25.4'
        """
        fraction = inch_fraction(length, _FINEST) if self.unit == Unit.IN else ""
        if fraction:
            return fraction.replace("-", "−")
        return shown(length, self.unit).removesuffix(f" {self.unit}")

    def with_unit(self, length: Length) -> str:
        """Return a length with its unit.

        >>> Marks(inches("1/16"), Unit.IN).with_unit(inches("2.75"))
        '2 3/4 in'
        """
        return f"{self.number(length)} {self.unit}"

    def size(self, size: Size) -> str:
        """Return a size with its unit.

        >>> Marks(inches("1/16"), Unit.IN).size(Size(inches("8.03125"), inches(10)))
        '8 1/32 × 10 in'
        """
        return f"{self.number(size.width)} × {self.with_unit(size.height)}"

    def in_other_unit(self, length: Length) -> str:
        """Return a length in the other unit.

        >>> Marks(inches("1/16"), Unit.IN).in_other_unit(inches("2.75"))
        '69.85 mm'
        """
        return shown(length, self.other.unit)


def marks_of(job: Job) -> Marks:
    """Return the marks of a job's cutter; by default they follow the unit of the rules."""
    unit = job.cutter.unit or (job.rules.unit if job.rules else Unit.IN)
    return Marks(job.cutter.step or _USUAL[unit], unit)
