"""The whole run in one table: each entry with its thumbnail, its verdict and what is to be done."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.densities import signed
from proofs.findings import Severity, Status
from proofs.pages.drawing import Block, Link, Mark, across, stacked
from proofs.pages.flow import FlowPart
from proofs.pages.mount_drawing import windows_drawn
from proofs.pages.proof_sheet.entry_head import anchor_of, measured_sights, sizes_read, unit_of
from proofs.pages.proof_sheet.gauge_bar import gauge_bar, limit_words, severity_of
from proofs.pages.proof_sheet.step_grid import shown_box, steps_of
from proofs.pages.proof_sheet.steps_drawn import pictures_shown
from proofs.pages.proof_sheet.verdict import (
    is_grave,
    reason_and_fix,
    verdict_sign,
    verdict_words,
)
from proofs.pages.typography import (
    ALARM,
    ASIDE,
    BODY,
    CAPTION,
    FIGURE_ALARM,
    FIGURE_STRONG,
    STRONG,
    Setter,
    rule,
)
from proofs.pages.wording import sentence, typeset
from proofs.plan.checks.gauges import Gauge, gauges
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job

_IN_TROUBLE = (Status.NOT_UNDERSTOOD, Status.UNREADABLE, Status.FAILED, Status.NOT_DONE)
_PAD = 6.0  # above and below a row
_GUTTER = 9.0
_SIGN = 11.0
_SHARES = (104.0, 116.0, 84.0, 34.0, 76.0)  # of the columns behind the thumbnail
_HEADS = ("Entry", "Visible size", "Against the limit", "Step", "To do")
_MOST_THUMBNAIL = 100.0  # its width
_MOST_LINES = 3
_FEW = 3  # sizes of different pictures that a row lists


@dataclass(frozen=True, slots=True)
class RunRow:
    """The row of an entry: its words, and its thumbnail once the height of rows is known."""

    outcome: Outcome
    words: Block
    place: int

    def height(self, thumbnail: float) -> float:
        """The height with a thumbnail of this height."""
        return max(self.words.height, thumbnail if has_page(self.outcome) else 0) + 2 * _PAD


def has_page(outcome: Outcome) -> bool:
    """Return whether an entry has a page of its own: it came to something that can be shown."""
    return outcome.plan is not None and outcome.status not in _IN_TROUBLE


@dataclass(frozen=True, slots=True)
class RunTable:
    """The table of a run on pages of one width; ``thumbnail`` is the height of its pictures."""

    job: Job
    setter: Setter
    thumbnail: float

    @property
    def start(self) -> float:
        """Where the words begin, right of the thumbnails."""
        return min(self.thumbnail * 1.3, _MOST_THUMBNAIL) + _GUTTER

    @property
    def widths(self) -> list[float]:
        """The widths of the columns of words."""
        room = self.setter.width - self.start - (len(_SHARES) - 1) * _GUTTER
        return [room * share / sum(_SHARES) for share in _SHARES]

    @property
    def lefts(self) -> list[float]:
        """The left edges of the columns of words."""
        widths = self.widths
        return [self.start + sum(widths[:n]) + n * _GUTTER for n in range(len(widths))]

    def head(self) -> Block:
        """Return the head of the table, repeated on each page."""
        cells = [
            self.setter.paragraph(text, CAPTION, width)
            for text, width in zip(_HEADS, self.widths, strict=True)
        ]
        return stacked([across(cells, self.lefts), rule(self.setter.width)], 3)

    def rows(self, outcomes: Sequence[Outcome]) -> list[RunRow]:
        """Return the rows of a run: what needs a decision first, the gravest of it on top."""
        places = list(enumerate(outcomes, 1))
        order = list(Status)
        places.sort(key=lambda pair: -order.index(pair[1].status))
        return [RunRow(outcome, self._words(outcome), place) for place, outcome in places]

    def parts(self, rows: Sequence[RunRow], gap: float) -> list[FlowPart]:
        """Return the table as parts of a page."""
        head, parts = self.head(), list[FlowPart]()
        for number, row in enumerate(rows):
            block = self._block(row)
            first = not number
            parts.append(
                FlowPart(
                    stacked([head, block]) if first else block, gap if first else 0, again=head
                )
            )
        return parts

    def heights(self, rows: Sequence[RunRow], gap: float) -> list[FlowPart]:
        """Return parts as high as those of the table, but empty."""
        head = self.head()
        high = [row.height(self.thumbnail) for row in rows]
        first = [FlowPart(Block(head.height + high[0]), gap, again=head)] if high else []
        return first + [FlowPart(Block(height), 0, again=head) for height in high[1:]]

    def _block(self, row: RunRow) -> Block:
        height = row.height(self.thumbnail)
        lowered = (height - row.words.height) / 2
        marks: list[Mark] = [*row.words.at(0, lowered), *rule(self.setter.width).at(0, height)]
        plan = row.outcome.plan
        if plan is not None and has_page(row.outcome):
            marks += self._thumbnail(row.outcome, plan, height)
            marks.append(Link(0, 0, self.setter.width, height, anchor_of(row.place)))
        return Block(height, tuple(marks))

    def _thumbnail(self, outcome: Outcome, plan: Plan, height: float) -> Sequence[Mark]:
        """The printed step, small, without its mat."""
        box, width = shown_box(plan), self.start - _GUTTER
        scale = max(box.size.width.points / width, box.size.height.points / self.thumbnail)
        step = next(s for s in steps_of(outcome, plan) if s.variant == plan.printed)
        x = (width - box.size.width.points / scale) / 2 - box.left.points / scale
        y = (height - box.size.height.points / scale) / 2 - box.top.points / scale
        drawn = windows_drawn(plan, scale, pictures_shown(step))
        return [mark.moved(x, y) for mark in drawn]

    def _words(self, outcome: Outcome) -> Block:
        if outcome.plan is None or not has_page(outcome):
            return self._trouble(outcome)
        cells = [
            self._name(outcome),
            self._size(outcome, outcome.plan),
            self._bar(outcome, outcome.plan),
            self._step(outcome, outcome.plan),
            self._to_do(outcome),
        ]
        return across(cells, self.lefts)

    def _trouble(self, outcome: Outcome) -> Block:
        """The reason and the remedy in full, since the entry has no page."""
        width = self.setter.width - self.lefts[1]
        reason, fix = reason_and_fix(outcome)
        file = f"file {outcome.entry.file}" if outcome.entry.file else "no file is named"
        if outcome.entry.line is not None:
            file += f", line {outcome.entry.line} of the entries file"
        verdict = self._verdict(outcome, width)
        lines = [(reason, BODY)] + ([(f"Fix: {sentence(fix)}", STRONG)] if fix else [])
        lines.append((sentence(file), ASIDE))
        told = stacked([verdict, self.setter.stack(lines, width, most=8)], 1)
        return across([self._name(outcome), told], self.lefts[:2])

    def _name(self, outcome: Outcome) -> Block:
        entry, width = outcome.entry, self.widths[0]
        title = (entry.title, BODY)
        number = self.setter.paragraph(entry.number, FIGURE_STRONG, width, most=2)
        return stacked([number, self.setter.paragraph(*title, width, most=_MOST_LINES)], 0)

    def _size(self, outcome: Outcome, plan: Plan) -> Block:
        """The visible size in both units, that of the rules first."""
        style = FIGURE_ALARM if self._is_size_grave(outcome) else FIGURE_STRONG
        read = sizes_read(self.job, outcome, plan)
        words = [(f"{len(plan.parts)} pictures", style)]
        if len(read) <= _FEW:
            words = [(", ".join(one.first for one in read), style)]
            words.append((", ".join(one.second for one in read), ASIDE))
        if not measured_sights(outcome):
            words.append(("as planned", CAPTION))
        return self.setter.stack(words, self.widths[1], most=_MOST_LINES)

    def _is_size_grave(self, outcome: Outcome) -> bool:
        found = [g for g in self._gauges(outcome) if severity_of(g, outcome) >= Severity.AT_RISK]
        return bool(found)

    def _gauges(self, outcome: Outcome) -> tuple[Gauge, ...]:
        if outcome.plan is None:
            return ()
        return gauges(self.job, outcome.plan, measured_sights(outcome))

    def _bar(self, outcome: Outcome, plan: Plan) -> Block:
        """The bar of the limit that decides, and the verdict."""
        width, found = self.widths[2], self._gauges(outcome)
        verdict = self._verdict(outcome, width)
        if not found:
            return verdict
        gauge = max(found, key=lambda g: (severity_of(g, outcome), -found.index(g)))
        unit = unit_of(self.job)
        bar = gauge_bar(gauge, severity_of(gauge, outcome), unit, width)
        limit = self.setter.paragraph(limit_words(gauge, unit), CAPTION, width)
        return stacked([stacked([verdict, bar], 3), limit], 1)

    def _verdict(self, outcome: Outcome, width: float) -> Block:
        grave = is_grave(outcome)
        words = self.setter.paragraph(
            verdict_words(outcome), ALARM if grave else STRONG, width - _SIGN
        )
        sign = verdict_sign(grave=grave).moved(0, -1.6)
        return Block(words.height, (sign, *words.at(_SIGN, 0)))

    def _step(self, outcome: Outcome, plan: Plan) -> Block:
        if plan.chosen is None and len(plan.variants) > 1:
            return self.setter.paragraph("–", FIGURE_STRONG, self.widths[3])
        step = plan.printed
        density = typeset(signed(step.density))
        lines = [(step.step, FIGURE_STRONG), (f"{density} D", CAPTION)]
        return self.setter.stack(lines, self.widths[3])

    def _to_do(self, outcome: Outcome) -> Block:
        words = to_do(outcome)
        style = STRONG if is_grave(outcome) else BODY
        return self.setter.paragraph(words, style, self.widths[4], most=4)


def to_do(outcome: Outcome) -> str:
    """Return what is to be done with an entry, in a few words."""
    plan = outcome.plan
    _, fix = reason_and_fix(outcome)
    if is_grave(outcome):
        return fix.partition("; ")[0] or "see its page"
    if plan is not None and plan.chosen is None and len(plan.variants) > 1:
        return "choose a step"
    warned = [f for f in outcome.findings if f.severity == Severity.WARNING]
    return "look at the warning" if warned else "nothing"
