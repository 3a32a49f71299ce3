"""The step at which an entry is printed: its own choice, the plain picture, or what was asked."""

from dataclasses import dataclass

from proofs.densities import signed
from proofs.plan.entry.planning import Plan


@dataclass(frozen=True, slots=True)
class PrintedStep:
    """The density of a print; ``letter`` is blank where that is no step of the entry's bracket.

    ``why`` says who decided on it.
    """

    density: float
    letter: str
    why: str

    @property
    def name(self) -> str:
        """What to call it in a sentence.

        >>> PrintedStep(0.1, "C", "chosen").name, PrintedStep(0.15, "", "undecided").name
        ('step C', '+0.15 D')
        """
        return f"step {self.letter}" if self.letter else f"{signed(self.density)} D"

    @property
    def words(self) -> str:
        """All of it in a line.

        >>> PrintedStep(0.1, "C", "chosen").words
        'step C, +0.10 D; chosen'
        """
        density = f"{signed(self.density)} D"
        return f"{self.name}, {density}; {self.why}" if self.letter else f"{density}; {self.why}"


def printed_step(plan: Plan, handed_over: float | None = None) -> PrintedStep:
    """Return the step at which an entry is printed.

    ``handed_over`` is the density at which a delivery takes an entry that chose none.
    """
    if plan.chosen is not None:
        return PrintedStep(plan.chosen.density, plan.chosen.step, "chosen")
    if handed_over is None:
        plain = plan.printed
        return PrintedStep(plain.density, plain.step, "undecided, the plain picture")
    letters = (v.step for v in plan.variants if v.density == handed_over)
    return PrintedStep(handed_over, next(letters, ""), "undecided, as handed over")
