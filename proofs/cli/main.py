"""The program: its commands, and what an error becomes."""

import sys

import click

from proofs import __version__
from proofs.cli.arrived import arrived
from proofs.cli.check import check
from proofs.cli.choose import choose
from proofs.cli.handoff import handoff
from proofs.cli.light import light
from proofs.cli.make import make
from proofs.cli.measure import measure
from proofs.cli.mount import mount
from proofs.cli.profiles import profiles
from proofs.cli.start import start
from proofs.cli.strip import strip
from proofs.cli.strip_read import strip_read
from proofs.cli.verify import verify
from proofs.errors import ProofsError


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 92},
    epilog="Exit codes: 0 done, 1 a rule is broken, 2 usage, 3 a profile or row is wrong, "
    "4 a photograph cannot be read, 5 a file cannot be written, 70 a fault of the program, "
    "130 interrupted.",
)
@click.version_option(__version__, prog_name="proofs")
def cli() -> None:
    """Prepare prints for judged exhibitions of mounted prints.

    From finished picture files to print files at the lab's resolution, to-scale mock-ups of
    the mounts, and a proof sheet that compares how dark to print. The rules of the exhibition
    in hand always win over the profiles here: read them.

    \b
    To get going:
      proofs start PICTURES               write PICTURES/entries.csv, a row a picture
      proofs check PICTURES               is every picture large enough for the rules?
      proofs make PICTURES --out READY    print files, mock-ups, proof sheet, report
      proofs strip PICTURES --out STRIPS  test strips, to judge by how dark to print
      proofs handoff PICTURES --lab NAME --out LAB  the files and the order for a lab
      proofs mount PICTURES --out BENCH   what to cut, once the prints are measured
    """


_COMMANDS = (start, check, make, strip, strip_read, measure, choose, light)
_BENCH = (arrived, mount)

for _command in (*_COMMANDS, handoff, verify, *_BENCH, profiles):
    cli.add_command(_command)


def main() -> None:
    """Run the command line; an error is one line of plain words and its exit code."""
    try:
        cli(prog_name="proofs", standalone_mode=False)
    except ProofsError as error:
        click.echo(f"proofs: {error}", err=True)
        sys.exit(error.exit_code)
    except click.exceptions.Abort:
        click.echo("proofs: interrupted", err=True)
        sys.exit(130)
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
