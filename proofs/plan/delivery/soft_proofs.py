"""The figures of a soft proof: the step printed, and the colours that a lab's profile changes."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.densities import signed
from proofs.findings import Finding, Severity
from proofs.plan.entry.planning import Plan
from proofs.records.labs import Lab

SOFT_PROOF = "soft-proof.pdf"

SEEN = 2.0
"""The CIEDE2000 above which a colour counts as outside the profile's gamut.

Converted to a printer's profile and back, even colours well inside its gamut are off by up to about
this much (measured). About 1 is the least difference that is visible side by side.
"""

_LEAST_SHARE = 0.0005  # of an image


@dataclass(frozen=True, slots=True)
class PrintedStep:
    """The density of a print; ``letter`` is blank if that is not a step of the entry's bracket.

    ``why`` states where the density comes from.
    """

    density: float
    letter: str
    why: str

    @property
    def name(self) -> str:
        """Its name in a sentence.

        >>> PrintedStep(0.1, "C", "chosen").name, PrintedStep(0.15, "", "").name
        ('step C', '+0.15 D')
        """
        return f"step {self.letter}" if self.letter else f"{signed(self.density)} D"

    @property
    def words(self) -> str:
        """Step, density and reason in one line.

        >>> PrintedStep(0.1, "C", "chosen").words
        'step C, +0.10 D; chosen'
        """
        density = f"{signed(self.density)} D"
        return f"{self.name}, {density}; {self.why}" if self.letter else f"{density}; {self.why}"


def printed_step(plan: Plan, delivered: float | None = None) -> PrintedStep:
    """Return the step at which an entry is printed.

    ``delivered`` is the density at which a delivery prints an entry with no step chosen.
    """
    if plan.chosen is not None:
        return PrintedStep(plan.chosen.density, plan.chosen.step, "chosen")
    if delivered is None:
        plain = plan.printed
        return PrintedStep(plain.density, plain.step, "no step chosen: the plain picture")
    letters = (v.step for v in plan.variants if v.density == delivered)
    return PrintedStep(delivered, next(letters, ""), "no step chosen: as delivered")


@dataclass(frozen=True, slots=True)
class Medium:
    """The paper as a profile describes it: its white as CIELAB (D50), and its darkest L*.

    Either is None if the profile does not state it; both are for the profile of a screen or a
    working space, which describes no paper. ``name`` is the profile's own description.
    """

    name: str
    white: tuple[float, float, float] | None = None
    darkest: float | None = None


@dataclass(frozen=True, slots=True)
class ColourLoss:
    """The differences in CIEDE2000 between the colours of a file and those asked for.

    The shares of the image, 0 to 1, are what lies outside the profile's gamut and what loses more
    than the lab's limit.
    """

    beyond_share: float
    lost_share: float
    mean: float
    largest: float


def loses_something(losses: Sequence[ColourLoss]) -> bool:
    """Return whether a picture of an entry loses more than the lab's limit in a part to be seen.

    Less than 0.05 % of an image is no part to be seen: a pixel in each 45 x 45.
    """
    return any(loss.lost_share >= _LEAST_SHARE for loss in losses)


def loss_findings(
    lab: Lab, medium: Medium, printed: str, losses: Sequence[ColourLoss]
) -> tuple[Finding, ...]:
    """Return a warning for each picture of an entry that loses more than the lab's limit.

    ``losses`` are in the order of the pictures; ``printed`` names the step at which they are
    printed, such as "step B".
    """
    return tuple(
        _loss_finding(lab, medium, _which(printed, n, len(losses)), loss)
        for n, loss in enumerate(losses, 1)
        if loss.lost_share > lab.lost_share
    )


def _which(printed: str, n: int, count: int) -> str:
    return printed if count == 1 else f"picture {n}, {printed}"


def _loss_finding(lab: Lab, medium: Medium, which: str, loss: ColourLoss) -> Finding:
    message = (
        f"{which}: {100 * loss.lost_share:.1f} % of the image loses more than {lab.loss:g}"
        f" CIEDE2000 in the profile {medium.name!r}, where {100 * lab.lost_share:.1f} % is the"
        f" limit; the largest loss is {loss.largest:.1f}"
    )
    return Finding(
        "gamut-loss",
        Severity.WARNING,
        message,
        measured=loss.lost_share * 100,
        limit=lab.lost_share * 100,
        unit="%",
        remedy="look at these colours on a test strip, or desaturate them in the picture",
    )
