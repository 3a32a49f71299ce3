"""What a lab's profile does to a picture's colours, as values, and the finding where it is much."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.findings import Finding, Remedy, Severity
from proofs.records.labs import Lab

Colour = tuple[float, float, float]

SOFT_PROOF = "soft-proof.pdf"

SEEN = 2.0
"""CIEDE2000 from which a colour counts as out of the profile's reach.

The tables of a printer's profile miss colours well within its reach by up to about as much, there
and back again (measured); 1 is about the least that an eye tells side by side.
"""


@dataclass(frozen=True, slots=True)
class Medium:
    """What a profile tells of the paper: its white as CIELAB (D50), and its darkest L*.

    Each is None where it is not told: both for the profile of a screen or of a working space, which
    is made for no paper.
    ``name`` is what the profile calls itself.
    """

    name: str
    white: Colour | None = None
    darkest: float | None = None


@dataclass(frozen=True, slots=True)
class ColourLoss:
    """How far the colours of a file lie from those asked for, in CIEDE2000.

    Shares of the image, 0 to 1: what is out of the profile's reach, and what loses more than the
    lab's limit.
    """

    beyond_share: float
    lost_share: float
    mean: float
    largest: float


def loss_findings(
    lab: Lab, medium: Medium, printed: str, losses: Sequence[ColourLoss]
) -> tuple[Finding, ...]:
    """Return a warning for each picture of an entry that loses more than the lab's limit.

    ``losses`` are those of the pictures, in their order; ``printed`` says at which step they are
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
        remedy=Remedy("look at these colours on a test strip, or make them weaker in the picture"),
    )
