"""``proofs check``."""

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from proofs.cli.options import ENTRIES_HELP, close, common_options, entries_argument, surveyed, tell
from proofs.commands.make.run import exit_code_of
from proofs.run.inputs import ProfileNames
from proofs.run.json_report import report


@click.command(short_help="Check every entry against the rules.", epilog=ENTRIES_HELP)
@entries_argument
@common_options
@click.option("--json", "as_json", is_flag=True, help="Print the record of report.json instead.")
def check(entries: Sequence[Path], font: Path | None, as_json: bool, **names: Any) -> None:
    """Check every entry against the rules, from the files' headers alone.

    Says image, visible size and sheet, borders, resolution, thickness, what tolerances leave,
    and each rule with its verdict: met; at-risk (holds only if nothing goes wrong); broken,
    with what to do.
    """
    _, job, outcomes = surveyed(entries, font, ProfileNames(**names), quiet=as_json)
    code = exit_code_of(outcomes)
    if as_json:
        content = report(job, outcomes, with_variants=False)
        click.echo(json.dumps(content, indent=2, ensure_ascii=False))
    else:
        tell(outcomes)
        close(outcomes, code)
    sys.exit(code)
