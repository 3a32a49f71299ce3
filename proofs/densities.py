"""Reading and writing changes of print density: ``+0.10``, ``-0,1``, ``1/3 stop``."""

import math
import re
from fractions import Fraction

DENSITY_PER_STOP = math.log10(2)
LIGHTEST, DARKEST = -0.30, 0.60  # beyond these, the tone curve's slope leaves 0.25 to 1.75
_SLACK = 1e-9
_STOPS = re.compile(r"([+-]?)\s*(?:(\d+)\s*/\s*(\d+)|(\d+(?:\.\d+)?))\s*stops?")


def checked(change: float) -> float:
    """Return ``change`` if the tone curve can apply it; otherwise raise ``ValueError``."""
    if not LIGHTEST - _SLACK <= change <= DARKEST + _SLACK:
        raise ValueError(f"{signed(change)} D is outside -0.30 to +0.60 D, where tones stay apart")
    return change


def read_density(text: str) -> float:
    """Return the change of density in a text such as ``+0.10``, ``-0,1`` or ``1/3 stop``.

    One stop darker is log10 2, about 0.30 D. Raises ``ValueError`` with what is expected.

    >>> read_density("+0,10"), round(read_density("1/3 stop"), 4)
    (0.1, 0.1003)
    """
    plain = re.sub(r"(?<=\d),(?=\d)", ".", text.strip().lower()).replace("\u2212", "-")
    stops = _STOPS.fullmatch(plain)
    try:
        value = _stops(*stops.groups()) if stops else float(plain.removesuffix("d").strip())
        if not math.isfinite(value):
            raise ValueError
    except (ValueError, ZeroDivisionError, OverflowError):
        raise ValueError(
            f"{text!r} is not a density; write one such as '+0.10' or '1/3 stop'"
        ) from None
    return round(checked(value), 4) + 0.0


def _stops(sign: str, top: str | None, bottom: str | None, decimal: str | None) -> float:
    count = Fraction(int(top), int(bottom)) if top and bottom else Fraction(decimal or "0")
    return float(-count if sign == "-" else count) * DENSITY_PER_STOP


def signed(change: float) -> str:
    """Return a change of density with its sign, to two or three decimals.

    >>> signed(0.1), signed(0.0), signed(-0.1003), signed(0.125)
    ('+0.10', '0', '-0.10', '+0.125')
    """
    if not change:
        return "0"
    text = f"{change:+.3f}"
    return text[:-1] if text.endswith("0") or abs(change - round(change, 2)) < 0.0005 else text
