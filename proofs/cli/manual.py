"""``proofs manual``."""

import difflib
from collections.abc import Sequence

import click

from proofs.cli.output import print_lines
from proofs.errors import UsageError
from proofs.outside.manual import Topic, page, topics
from proofs.pages.manual_text import for_terminal


@click.command(short_help="Show a page of the manual, or list the topics.")
@click.argument("topic", required=False)
def manual(topic: str | None) -> None:
    """Show the page of the manual on TOPIC, or list all topics.

    \b
      proofs manual            the list of topics
      proofs manual deliver    one page
      proofs manual exit-codes > exit-codes.md

    On a terminal a page opens in the pager; type q to leave it.
    """
    known = topics()
    if topic is None:
        print_lines(_listed(known))
        return
    name = topic.strip().lower()
    if name not in {one.name for one in known}:
        raise UsageError(_unknown(topic, known))
    click.echo_via_pager(for_terminal(page(name)))


def _listed(known: Sequence[Topic]) -> list[str]:
    wide = max(len(topic.name) for topic in known)
    lines: list[str] = []
    part = ""
    for topic in known:
        if topic.part != part:
            lines += [""] * bool(lines) + [topic.part]
            part = topic.part
        lines.append(f"  {topic.name:<{wide}}  {topic.summary}")
    return [*lines, "", "To read a page: proofs manual TOPIC"]


def _unknown(topic: str, known: Sequence[Topic]) -> str:
    """The error for a topic that does not exist, with similar names."""
    names = [one.name for one in known]
    wanted = topic.strip().lower()
    near = [name for name in names if len(wanted) > 2 and wanted in name]
    near += [n for n in difflib.get_close_matches(wanted, names, n=3, cutoff=0.5) if n not in near]
    hint = f"did you mean {' or '.join(near[:3])}?" if near else "'proofs manual' lists the topics"
    return f"the manual has no page {topic!r}; {hint}"
