"""``proofs verify``."""

import json
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from proofs.commands.verify.run import verify as verify_parts
from proofs.commands.verify.text import verified_lines, verified_record
from proofs.outside.delivery_source import opened_delivery


@click.command(short_help="Read a delivery back and say what differs.")
@click.argument("delivery", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print a record for programs instead.")
def verify(delivery: Sequence[Path], as_json: bool) -> None:
    """Read DELIVERY back, a folder or all zips of one, from its files alone.

    Checks the sums, that nothing is missing and nothing was added, and on every file its pixels,
    tags, profile, bit depth, white margin and name; says which points of the lab and which rules
    of the exhibition each file meets. Exit code 1 means that something is not as it was made.
    """
    with opened_delivery(delivery) as parts:
        verified = verify_parts(parts)
    if as_json:
        click.echo(json.dumps(verified_record(verified), indent=2, ensure_ascii=False))
    else:
        for line in verified_lines(verified):
            click.echo(line)
    sys.exit(1 if verified.differences else 0)
