"""The curve that prints the middle tones darker or lighter, and leaves black and white alone.

T(L*) = L* - k * 16 u^2 (1 - u)^2 with u = L*/100. The bell peaks at L* 50 and is flat at both
ends, so shadows and highlights change little; k gives L* 50 exactly the density asked for.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from proofs.densities import checked, signed

MID_LIGHTNESS = 50.0


def reflectance(lightness: float) -> float:
    """Return the reflectance, 0 to 1, of a surface of this L*.

    Source: CIE 015:2004 (inverse of its definition of L*), from memory.

    >>> round(reflectance(50), 6)
    0.184187
    """
    if lightness <= 8:
        return lightness * (3 / 29) ** 3
    return float(((lightness + 16) / 116) ** 3)


def lightness(reflected: float) -> float:
    """Return the L*, 0 to 100, of a surface of this reflectance, 0 to 1.

    Source: CIE e-ILV 17-23-076.

    >>> round(lightness(0.18), 3)
    49.496
    """
    if reflected <= (6 / 29) ** 3:
        return reflected * (29 / 3) ** 3
    return 116 * math.cbrt(reflected) - 16


def density(lightness_: float) -> float:
    """Return the reflection density of a tone relative to white: -log10 of its reflectance.

    Source: CIE e-ILV 17-24-073.

    >>> round(density(50), 4)
    0.7347
    """
    return -math.log10(reflectance(lightness_))


def depth(change: float) -> float:
    """Return k, the L* by which the tone curve lowers L* 50 for this change of density.

    Raises ``ValueError`` outside -0.30 to +0.60 D.
    """
    if not checked(change):
        return 0.0
    return MID_LIGHTNESS - lightness(10 ** -(density(MID_LIGHTNESS) + change))


def tone_curve(change: float) -> Callable[[float], float]:
    """Return the curve from L* to L*, both 0 to 100, that prints mid grey ``change`` D darker.

    Raises ``ValueError`` outside -0.30 to +0.60 D.

    >>> curve = tone_curve(0.10)
    >>> curve(0), curve(100), round(density(curve(50)) - density(50), 6)
    (0.0, 100.0, 0.1)
    """
    k = depth(change)

    def curve(tone: float) -> float:
        u = tone / 100
        return float(tone) - k * 16 * u * u * (1 - u) * (1 - u)

    return curve


@dataclass(frozen=True, slots=True, order=True)
class Variant:
    """One step of a bracket: its change of density, and the letter that names it on paper.

    A lab operator takes "+0.10" as an instruction, so everything that a lab sees has the letter.
    """

    density: float
    step: str

    @property
    def is_plain(self) -> bool:
        """Whether it leaves the tones of the picture as they are."""
        return self.density == 0

    @property
    def words(self) -> str:
        """Its letter, and the density that the letter means.

        >>> Variant(0.1, "C").words
        'C (+0.10)'
        """
        return f"{self.step} ({signed(self.density)})"


DEFAULT_BRACKET = (-0.10, 0.0, 0.10, 0.20)


def bracket(densities: tuple[float, ...]) -> tuple[Variant, ...]:
    """Return the steps in rising density, lettered from A; the plain picture is always one of them.

    >>> [(v.step, v.density) for v in bracket((0.2, 0.1))]
    [('A', 0.0), ('B', 0.1), ('C', 0.2)]
    """
    rising = sorted({round(d, 4) + 0.0 for d in (*densities, 0.0)})
    if len(rising) > 26:
        raise ValueError(f"{len(rising)} steps are more than the alphabet has letters")
    return tuple(Variant(d, chr(ord("A") + n)) for n, d in enumerate(rising))
