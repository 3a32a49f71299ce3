"""A table of what was tried and what failed."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Failure:
    """A case that did not end as it should: its name, the kind of failure, and a description."""

    case: str
    kind: str
    words: str

    def __str__(self) -> str:
        return f"FAILED {self.case}: {self.kind}: {ascii(self.words)[1:-1]}"


@dataclass(frozen=True, slots=True)
class Figures:
    """The number of cases of a subject, the failures among them, and the seconds they took."""

    subject: str
    cases: int = 0
    failures: tuple[Failure, ...] = ()
    seconds: float = 0.0

    def with_one(self, failure: Failure | None, seconds: float) -> "Figures":
        """Return the figures with one more case."""
        failures = (*self.failures, failure) if failure else self.failures
        return replace(
            self, cases=self.cases + 1, failures=failures, seconds=self.seconds + seconds
        )


def report(all_figures: Sequence[Figures]) -> str:
    """Return a table of the figures, with totals."""
    lines = [f"{'tried':<24}{'cases':>8}{'failed':>8}{'seconds':>9}  kinds of failure"]
    for figures in all_figures:
        kinds = Counter(failure.kind for failure in figures.failures)
        words = ", ".join(f"{count} {kind}" for kind, count in kinds.most_common())
        lines.append(
            f"{figures.subject:<24}{figures.cases:>8}{len(figures.failures):>8}"
            f"{figures.seconds:>9.0f}  {words}".rstrip()
        )
    cases = sum(figures.cases for figures in all_figures)
    failed = sum(len(figures.failures) for figures in all_figures)
    seconds = sum(figures.seconds for figures in all_figures)
    return "\n".join([*lines, f"{'all':<24}{cases:>8}{failed:>8}{seconds:>9.0f}"])
