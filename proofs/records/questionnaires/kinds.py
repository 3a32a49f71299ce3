"""The kinds of profiles that questions lead to, and how answers become the values of one."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from proofs.records.faults import Fault
from proofs.records.questionnaires.bench import CUTTERS, MOUNTS
from proofs.records.questionnaires.exhibition import LIGHTS, RULES, TIMETABLES
from proofs.records.questionnaires.printing import LABS, PAPERS
from proofs.records.questionnaires.question import Question, Values, value_at, with_value

QUESTIONS: Mapping[str, tuple[Question, ...]] = {
    "rules": RULES,
    "mounts": MOUNTS,
    "papers": PAPERS,
    "labs": LABS,
    "cutters": CUTTERS,
    "lights": LIGHTS,
    "timetables": TIMETABLES,
}
NOTHING = "-"
"""The answer that leaves a key out."""

FindFaults = Callable[[Values], Sequence[Fault]]


@dataclass(frozen=True, slots=True)
class Draft:
    """A profile in the making: the values so far, and the keys that were asked for so far.

    ``is_new`` is whether it did not start from another profile; one that did keeps what that one
    leaves out. ``faults_of`` finds all that is wrong with some values.
    """

    values: Values
    faults_of: FindFaults
    is_new: bool = True
    asked: tuple[str, ...] = field(default=())

    def proposed(self, question: Question) -> object:
        """Return the value that stands if there is no other answer; None to leave the key out."""
        there = value_at(self.values, question.key)
        if there is None and question.default and (self.is_new or question.is_needed):
            return question.value(question.default)
        return there

    def answered(self, question: Question, typed: str = "") -> "Draft":
        """Return the draft with an answer as it was typed; a blank one takes what is proposed.

        Raises ``ValueError`` with what is wrong with the answer.
        """
        typed = typed.strip()
        if typed and typed != NOTHING:
            value = question.value(typed)
        else:
            value = None if typed else self.proposed(question)
        if value is None and question.is_needed:
            raise ValueError(f"this is needed; answer such as {question.example!r}")
        draft = replace(
            self,
            values=with_value(self.values, question.key, value),
            asked=(*self.asked, question.key),
        )
        if faults := draft.faults_so_far():
            raise ValueError(faults[0].words if faults[0].path == question.key else str(faults[0]))
        return draft

    def left_out(self, question: Question) -> "Draft":
        """Return the draft without the key of a question that does not apply."""
        return replace(self, values=with_value(self.values, question.key, None))

    def faults_so_far(self) -> list[Fault]:
        """Return the faults of the keys that were asked for."""
        return [fault for fault in self.faults_of(self.values) if fault.path in self.asked]
