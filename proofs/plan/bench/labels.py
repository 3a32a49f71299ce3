"""The words on the label on the back of each mount, and the least size of its type."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from proofs.lengths import Edge
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.hanging import turn_in_words
from proofs.plan.entry.planning import Plan
from proofs.records.cells import folded
from proofs.records.entries import Entry
from proofs.records.job import NO_EXHIBITOR, Exhibitor
from proofs.records.label_sheets import LabelSheet
from proofs.records.rules import LabelLine, Rules

T = TypeVar("T")

READ_POINTS = 18.5
"""The least size of type, in points, that is easy to read from 1 m.

NUREG-0700 rev. 2, 1.3.1-4, requires capitals of at least 16 minutes of arc, 4.65 mm at 1 m;
Legge and Bigelow, Journal of Vision 11 (2011) 5:8, found that reading slows below an x-height
of 0.2 degrees, 3.49 mm at 1 m. At 18.5 points the program's typeface has 4.66 and 3.49 mm.
"""


@dataclass(frozen=True, slots=True)
class RequiredLine:
    """A line that the rules require; if ``words`` is blank, it is a line to write on."""

    caption: str
    words: str


@dataclass(frozen=True, slots=True)
class Label:
    """One label. ``place`` is ``2 of 4``, or blank if the other entries are not known."""

    number: str
    title: str
    category: str = ""
    place: str = ""
    required: tuple[RequiredLine, ...] = ()

    @property
    def entered(self) -> str:
        """The category with the place in it."""
        return ", ".join(part for part in (self.category, self.place) if part)


@dataclass(frozen=True, slots=True)
class BothSides(Generic[T]):
    """A small picture as it hangs, and mirrored and faint as a sign of it on the back."""

    front: T
    back: T


@dataclass(frozen=True, slots=True)
class Labelled:
    """A label and the mount that it is for.

    ``pictures`` names the small pictures of the mount, in their order; empty if there are none.
    """

    label: Label
    plan: Plan
    pictures: tuple[BothSides[str], ...] = ()


@dataclass(frozen=True, slots=True)
class LabelOrder:
    """The labels to make: on which sheet (None for plain paper), whose, and whether with a code.

    ``unmeasured`` holds the numbers of the entries with prints not measured yet, which pages state.
    """

    sheet: LabelSheet | None = None
    exhibitor: Exhibitor = NO_EXHIBITOR
    qr: bool = False
    unmeasured: tuple[str, ...] = ()


def label_of(entry: Entry) -> Label:
    """Return the label of an entry by itself, with its words as they were entered."""
    return Label(entry.number, entry.title, entry.category)


def labels_of(
    outcomes: Sequence[Outcome], rules: Rules | None, exhibitor: Exhibitor
) -> tuple[Labelled, ...]:
    """Return a label for each outcome with a plan, in their order.

    ``outcomes`` are all of the run: an entry without a plan gets no label, but it counts in its
    category. Name and address appear only if the rules require them.
    """
    required = required_lines(rules, exhibitor)
    counts = Counter(folded(outcome.entry.category) for outcome in outcomes)
    before: Counter[str] = Counter()
    labels = []
    for outcome in outcomes:
        category = folded(outcome.entry.category)
        before[category] += 1
        if outcome.plan is None:
            continue
        place = f"{before[category]} of {counts[category]}"
        label = replace(label_of(outcome.entry), place=place, required=required)
        labels.append(Labelled(label, outcome.plan))
    return tuple(labels)


def required_lines(rules: Rules | None, exhibitor: Exhibitor) -> tuple[RequiredLine, ...]:
    """Return the lines that the rules require, with the words of the exhibitor."""
    words = {LabelLine.NAME: exhibitor.name, LabelLine.ADDRESS: exhibitor.address}
    lines = rules.label_lines if rules else ()
    return tuple(RequiredLine(line, words[line]) for line in lines)


def code_text(label: Label) -> str:
    """Return the text of a code on the label: number, title, and the category entered.

    It never holds a name or an address, because nobody can see what is in a code.
    """
    return "\n".join(part for part in (label.number, label.title, label.entered) if part)


def top_in_words(top_edge: Edge) -> str:
    """Return a note on a picture that hangs another way up than its file, otherwise nothing.

    >>> top_in_words(Edge.LEFT), top_in_words(Edge.TOP)
    ("TOP is the file's left edge, turned 90° clockwise", '')
    """
    if top_edge == Edge.TOP:
        return ""
    return f"TOP is the file's {top_edge} edge, {turn_in_words(top_edge)}"


def tops_in_words(plan: Plan) -> tuple[str, ...]:
    """Return the notes on the pictures of a mount that hang turned, each with its place."""
    notes = [top_in_words(part.top_edge) for part in plan.parts]
    if len(notes) == 1:
        return tuple(filter(None, notes))
    return tuple(f"picture {n}: {words}" for n, words in enumerate(notes, 1) if words)
