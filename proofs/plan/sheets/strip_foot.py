"""What stands at the foot of a test strip's sheet: wedge, paper white, full black, and a rule."""

from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Place, Size, inches, millimetres
from proofs.plan.tones.wedge import Patch, wedge_size

RULE_INCHES, RULE_MM = 4, 100
"""How long the rule is on its two scales, from the same nought."""

RULE_HEIGHT = inches("5/16")

_WEDGE = inches(3)
_SPACE = inches("1/4")
_CAPTION = inches("5/32")
_PATCH_HEIGHT = inches("3/16")
_BLACK, _WHITE = 0.0, 100.0  # L*


@dataclass(frozen=True, slots=True)
class Foot:
    """Where all of it lies, from the top left of the foot; captions stand below their things."""

    height: Length
    wedge: Place
    wedge_width: Length
    white: Patch
    black: Patch
    rule: Place


def foot_of(width: Length) -> Foot:
    """Return the foot of a sheet: side by side where that fits, else the rule below the wedge.

    Raises ``ValueError`` where the rule is too long for the sheet.
    """
    rule = inches(RULE_INCHES)
    if width < rule + inches("1/8"):
        raise ValueError(
            f"{width} between the margins is too narrow for the rule of {RULE_INCHES} in;"
            " name a larger sheet"
        )
    wedge = wedge_size(_WEDGE)
    if width >= _WEDGE + _SPACE + rule:
        return _side_by_side(width, wedge)
    left = _WEDGE + inches("1/8")
    patch = Size(width - left, _PATCH_HEIGHT)
    top = wedge.height + _CAPTION + inches("1/16")
    return Foot(
        height=top + RULE_HEIGHT,
        wedge=Place(ZERO, ZERO),
        wedge_width=_WEDGE,
        white=Patch(_WHITE, Place(left, ZERO), patch),
        black=Patch(_BLACK, Place(left, _PATCH_HEIGHT + _CAPTION), patch),
        rule=Place(ZERO, top),
    )


def _side_by_side(width: Length, wedge: Size) -> Foot:
    left = width - inches(RULE_INCHES) - millimetres("0.3")  # its last tick has a width too
    between = inches("1/4")
    half = Length((width.nm - left.nm - between.nm) // 2)
    patch = Size(half, _PATCH_HEIGHT)
    top = _PATCH_HEIGHT + _CAPTION + inches("1/32")
    return Foot(
        height=max(top + RULE_HEIGHT, wedge.height + _CAPTION),
        wedge=Place(ZERO, ZERO),
        wedge_width=_WEDGE,
        white=Patch(_WHITE, Place(left, ZERO), patch),
        black=Patch(_BLACK, Place(left + half + between, ZERO), patch),
        rule=Place(left, top),
    )
