"""Limits on sizes: one row for each, and the verdict on it in words.

A limit is met if it holds in the worst case, at risk if it holds only as planned, and broken if
it does not hold even then. The check of an entry, of a mount as cut and of a finished file, the
proof sheet and the record of a delivery all use these rows: a new limit is one more row.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from proofs.findings import Finding, Severity
from proofs.lengths import NM_PER_MM, ZERO, Length, Size, area_text, distinct_texts
from proofs.records.mounts import WindowKind
from proofs.records.rules import VisibleRule
from proofs.records.size_and_crop import SizeKind


@dataclass(frozen=True, slots=True)
class Quantity:
    """A kind of number that has limits: how it is written, and its unit in findings and records.

    ``texts`` writes two numbers with enough digits to show a difference. Numbers are whole
    nanometres, or whole square nanometres.
    """

    unit: str
    per_unit: int
    texts: Callable[[int, int], tuple[str, str]]


LENGTH = Quantity("mm", NM_PER_MM, lambda one, other: distinct_texts(Length(one), Length(other)))
AREA = Quantity("mm2", NM_PER_MM**2, lambda one, other: (area_text(one), area_text(other)))


_EXACT = Size(ZERO, ZERO)


@dataclass(frozen=True, slots=True)
class Seen:
    """The visible part of one picture as the rules count it; ``has_paper`` if it includes paper.

    ``slack`` is by how much each side may come out longer or shorter, and ``untrimmed`` by how much
    more at each end if the lab trims nothing off a print to the edge.
    """

    size: Size
    slack: Size = _EXACT
    is_oval: bool = False
    has_paper: bool = False
    untrimmed: Length = ZERO

    @property
    def square_nm(self) -> int:
        """The visible area, that of an oval if it is one."""
        area = self.size.square_nm
        return round(area * math.pi / 4) if self.is_oval else area

    @property
    def smallest(self) -> "Seen":
        """The same with both sides as short as they may come out."""
        return replace(self, size=self.size.extended(self.slack, times=-1))

    @property
    def largest(self) -> "Seen":
        """The same with both sides as long as they may come out."""
        return replace(self, size=self.size.extended(self.slack).grown(self.untrimmed))


@dataclass(frozen=True, slots=True)
class Measure:
    """What a limit measures of one picture, and the side of an image to change to meet it.

    ``name`` is the measure in one word for a list, or blank. If it ``adds_up``, rules may count
    several pictures together.
    """

    name: str
    words: str
    of: Callable[[Seen], int]
    side: SizeKind
    quantity: Quantity = LENGTH
    adds_up: bool = False


@dataclass(frozen=True, slots=True)
class VisibleLimit:
    """A limit on the visible size; ``key`` is the field of ``VisibleRule`` that contains it."""

    code: str
    key: str
    measure: Measure
    is_least: bool

    def bound(self, rule: VisibleRule) -> int | None:
        """Return the limit that a rule states, None if it states none."""
        bound: Length | int | None = getattr(rule, self.key)
        return bound.nm if isinstance(bound, Length) else bound

    @property
    def record_key(self) -> str:
        """Its key in records, with the unit, such as ``longest_least_mm``."""
        key = self.key.replace("_square_nm", "_area")
        return f"{key}_{self.measure.quantity.unit}"

    def in_unit(self, rule: VisibleRule) -> float | None:
        """Return the limit that a rule states, in the unit of records."""
        bound = self.bound(rule)
        return None if bound is None else bound / self.measure.quantity.per_unit

    def in_words(self, rule: VisibleRule) -> str:
        """Return the limit of a rule, such as ``longest at least 10 in``; blank if it has none."""
        if not (bound := self.bound(rule)):
            return ""
        text, _ = self.measure.quantity.texts(bound, bound)
        return f"{self.measure.name} at {'least' if self.is_least else 'most'} {text}".strip()


_LONGEST = Measure(
    "longest",
    "longest visible side",
    lambda seen: seen.size.longest.nm,
    SizeKind.LONG,
    adds_up=True,
)
_SHORTEST = Measure(
    "shortest", "shortest visible side", lambda seen: seen.size.shortest.nm, SizeKind.SHORT
)
_AREA = Measure("", "visible area", lambda seen: seen.square_nm, SizeKind.LONG, AREA)
VISIBLE_LIMITS = (
    VisibleLimit("longest-side", "longest_least", _LONGEST, is_least=True),
    VisibleLimit("longest-side-most", "longest_most", _LONGEST, is_least=False),
    VisibleLimit("shortest-side", "shortest_least", _SHORTEST, is_least=True),
    VisibleLimit("shortest-side-most", "shortest_most", _SHORTEST, is_least=False),
    VisibleLimit("visible-area", "least_square_nm", _AREA, is_least=True),
)
LEAST_SIZES = tuple(limit.code for limit in VISIBLE_LIMITS if limit.is_least)
"""The codes of the limits that a larger image, or a larger opening, can meet."""


@dataclass(frozen=True, slots=True)
class CoverLimit:
    """A width that must be left on each side after tolerances: of overlap, paper, gap or sheet.

    ``words`` states the planned length, ``risk`` and ``lost`` what happens if none is left, and
    ``reason`` why an opening must stop there. ``remedy`` asks for another mount.
    """

    code: str
    words: str
    risk: str
    lost: str
    reason: str
    remedy: str = ""
    larger_opening_helps: bool = False


COVER_LIMITS = {
    WindowKind.OVERLAP: CoverLimit(
        "overlap-left",
        words="overlap {}",
        risk="the paper's edge may show next to the image",
        lost="the image is {twice} smaller than its opening: paper shows",
        reason="before paper shows",
        remedy="a mount whose mat overlaps the print by at least {} on each side",
    ),
    WindowKind.REVEAL: CoverLimit(
        "reveal-left",
        words="paper round the image {}",
        risk="the mat may hide the image",
        lost="the mat hides {once} of the image, and no paper is left round it",
        reason="for paper all round",
        remedy="a mount that leaves at least {} of paper round the image",
        larger_opening_helps=True,
    ),
    WindowKind.FLOAT: CoverLimit(
        "gap-left",
        words="gap round the print {}",
        risk="the mat may touch the print",
        lost="the opening is {twice} smaller than the print: the mat lies on it",
        reason="to clear the print",
        remedy="a mount whose opening clears the print by at least {} on each side",
        larger_opening_helps=True,
    ),
}
"""The width that must be left, for each kind of window."""

SHEET_LIMIT = CoverLimit(
    "sheet-left",
    words="{} of the sheet behind the mat",
    risk="its edge may show",
    lost="the sheet ends {once} inside the opening: its edge shows",
    reason="before the sheet's edge shows",
)


def visible_findings(rule: VisibleRule, seen: Sequence[Seen]) -> tuple[Finding, ...]:
    """Return a finding for each limit in force on the pictures of a board, or on one of them."""
    return tuple(
        _visible_finding(limit, bound, seen, adds_up=rule.sums)
        for limit in VISIBLE_LIMITS
        if (bound := limit.bound(rule)) is not None
    )


def _visible_finding(
    limit: VisibleLimit, bound: int, seen: Sequence[Seen], *, adds_up: bool
) -> Finding:
    measure = limit.measure
    planned = [measure.of(one) for one in seen]
    worst = [measure.of(one.smallest if limit.is_least else one.largest) for one in seen]
    if adds_up and measure.adds_up and len(seen) > 1:
        words = (
            f"{measure.words}s of {len(seen)} pictures together, without the space between them,"
        )
        pair = sum(planned), sum(worst)
    else:
        n = worst.index((min if limit.is_least else max)(worst))
        words, pair = f"{measure.words}{_whose(seen, n)}", (planned[n], worst[n])
    return _verdict(
        limit.code, words, pair, bound, is_least=limit.is_least, quantity=measure.quantity
    )


def _whose(seen: Sequence[Seen], n: int) -> str:
    """The picture that is meant if there are several, and whether its paper counts."""
    count, words = len(seen), ""
    if count > 1:
        words = f" of picture {n + 1}, each of {count} counting by itself,"
    return f" with the paper seen{words}" if seen[n].has_paper else words


def cover_finding(limit: CoverLimit, planned: Length, slack: Length) -> Finding:
    """Return a finding on whether anything of a planned length is left after tolerances."""
    left, words = planned - slack, limit.words.format(planned)
    measured, severity, message = left, Severity.MET, f"{words}; {left} is left after tolerances"
    room = left if left > ZERO else None
    if planned <= ZERO:
        measured, severity = planned, Severity.BROKEN
        message = limit.lost.format(once=-planned, twice=-2 * planned)
    elif left <= ZERO:
        severity = Severity.AT_RISK
        message = f"{words} is used up by tolerances of {slack}: {limit.risk}"
    return Finding(limit.code, severity, message, measured.mm, 0.0, "mm", left=room)


def length_finding(
    code: str, words: str, measured: Length, bound: Length, *, is_least: bool, slack: Length = ZERO
) -> Finding:
    """Return the finding on a length that has a least or a most, and may be off by ``slack``."""
    worst = measured - slack if is_least else measured + slack
    return _verdict(code, words, (measured.nm, worst.nm), bound.nm, is_least=is_least)


def _verdict(
    code: str,
    words: str,
    planned_and_worst: tuple[int, int],
    bound: int,
    *,
    is_least: bool,
    quantity: Quantity = LENGTH,
) -> Finding:
    planned, worst = planned_and_worst
    holds = [number >= bound if is_least else number <= bound for number in (planned, worst)]
    found, limit = quantity.texts(planned, bound)
    extreme, beyond = ("minimum", "below") if is_least else ("maximum", "above")
    if all(holds):
        severity = Severity.MET
        message = f"{words} {found}, at {'least' if is_least else 'most'} {limit}"
    elif holds[0]:
        severity, (off, _) = Severity.AT_RISK, quantity.texts(worst, worst)
        message = (
            f"{words} {found} is too close to the {extreme} of {limit}:"
            f" {off} when every tolerance goes against it"
        )
    else:
        severity = Severity.BROKEN
        message = f"{words} {found} is {beyond} the {extreme} of {limit}"
    measured, limit_in_unit = planned / quantity.per_unit, bound / quantity.per_unit
    has_room = all(holds) and worst != planned and quantity is LENGTH
    left = Length(abs(worst - bound)) if has_room else None
    return Finding(code, severity, message, measured, limit_in_unit, quantity.unit, left=left)
