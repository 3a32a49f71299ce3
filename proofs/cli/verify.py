"""``proofs verify``."""

import sys
from collections.abc import Sequence
from pathlib import Path

import click

from proofs.cli.options import json_option
from proofs.cli.output import detail_options, is_quiet, is_verbose, print_lines, print_record
from proofs.commands.verify.run import verify as verify_parts
from proofs.commands.verify.text import verified_lines, verified_record
from proofs.errors import ExitCode
from proofs.outside.delivery_source import opened_delivery


@click.command(short_help="Read a delivery back and report what has changed.")
@click.argument("delivery", nargs=-1, required=True, type=click.Path(path_type=Path))
@detail_options
@json_option
def verify(delivery: Sequence[Path], as_json: bool) -> None:
    """Read DELIVERY back, a folder or all zips of one, from its files alone.

    Checks the sums, that nothing is missing and nothing was added, and in each file its pixels,
    tags, profile, bit depth, white margin and name; reports which points of the lab and which
    rules of the exhibition each file meets. Exit code 1 means that something has changed since
    it was made.
    """
    with opened_delivery(delivery) as parts:
        verified = verify_parts(parts)
    if as_json:
        print_record(verified_record(verified))
    else:
        lines = verified_lines(verified, in_full=is_verbose())
        print_lines(lines[-1:] if is_quiet() else lines)
    sys.exit(ExitCode.BROKEN if verified.differences else ExitCode.DONE)
