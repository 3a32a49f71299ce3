"""The program: its commands, and what an error becomes."""

import difflib
import gc
import importlib
import io
import os
import signal
import sys
import traceback
from types import FrameType
from typing import NoReturn

import click

from proofs import __version__
from proofs.cli.output import print_lines
from proofs.errors import ExitCode, ProofsError, system_error_of
from proofs.outside.fault_log import write_fault_log
from proofs.outside.streams import use_lenient_streams
from proofs.run.interrupts import ENDING, ignore_requests

COMMANDS = (  # in the order of the work
    *("start", "check", "inspect", "make", "strip", "strip-read", "measure", "choose", "light"),
    *("deliver", "verify", "arrived", "mount", "season", "profiles", "manual"),
)


class Commands(click.Group):
    """The commands, each loaded when it is asked for: that saves a quarter of every start."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of all commands in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return the command of a name, or None for any other."""
        if cmd_name not in COMMANDS:
            return None
        module = cmd_name.replace("-", "_")
        command: click.Command = getattr(importlib.import_module(f"proofs.cli.{module}"), module)
        if not gc.isenabled():  # while the program was loaded
            gc.freeze()  # what stays is not looked through again, and forked workers share it
            gc.enable()
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Return the command that the arguments name; a mistyped one gets a suggestion."""
        name = args[0]
        if name not in COMMANDS and not name.startswith("-"):
            near = difflib.get_close_matches(name, COMMANDS, n=1)
            hint = f" Did you mean {near[0]!r}?" if near else ""
            raise click.UsageError(f"No such command {name!r}.{hint}", ctx)
        return super().resolve_command(ctx, args)


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 92},
    epilog="Exit codes: 0 done, 1 a rule is broken, 2 usage, 3 a profile or row is wrong, "
    "4 a photograph cannot be read, 5 a file cannot be written, 70 a fault of the program, "
    "130 interrupted.",
)
@click.version_option(__version__, prog_name="proofs")
def cli() -> None:
    """Prepare prints for judged exhibitions of mounted prints.

    Turns finished picture files into print files at the lab's resolution, to-scale mock-ups of
    the mounts, and a proof sheet that compares how dark to print. The rules of the exhibition
    in hand always win over the profiles here: read them.

    \b
    To get going:
      proofs start PICTURES               write PICTURES/entries.csv, one row per picture
      proofs check PICTURES               is every picture large enough for the rules?
      proofs inspect PICTURES --out LOOK  dust, scratches, strokes and lost edges, at print size
      proofs make PICTURES --out READY    print files, mock-ups, proof sheet, report
      proofs strip PICTURES --out STRIPS  test strips, to judge how dark to print
      proofs choose PICTURES 3 C          step C becomes the print of entry 3
      proofs deliver PICTURES --lab NAME --out LAB  the files and the order for a lab
      proofs arrived PICTURES             which of the delivered prints are still to measure
      proofs mount PICTURES --out BENCH   what to cut, once the prints are measured
      proofs season AUTUMN WINTER         several exhibitions in one table and one calendar
      proofs manual start                 the first page of the manual
    """


def _set_up_numpy() -> None:
    """Set what numpy reads when it is loaded."""
    # Else it starts a thread for each core, and workers could not be forked.
    os.environ["OPENBLAS_NUM_THREADS"] = "1"
    # To find whole large pages for each new image takes a thirtieth of a run (measured).
    os.environ.setdefault("NUMPY_MADVISE_HUGEPAGE", "0")


def main() -> None:
    """Run the command line; whatever goes wrong becomes one line and an exit code."""
    use_lenient_streams()
    _set_up_numpy()
    for number in ENDING:
        signal.signal(number, _interrupt)
    try:
        cli(prog_name="proofs", standalone_mode=False, color=_wants_colour())
    except ProofsError as error:
        _end(*error.messages, code=error.exit_code)
    except (click.exceptions.Abort, KeyboardInterrupt):
        _end("interrupted", code=ExitCode.INTERRUPTED)
    except click.ClickException as error:
        shown = io.StringIO()
        error.show(file=shown)
        print_lines(shown.getvalue().splitlines(), to_errors=True)  # it quotes what was typed
        sys.exit(error.exit_code)
    except Exception as error:  # the last handler: nothing unforeseen ends with a traceback
        if refused := system_error_of(error):
            _end(*refused.messages, code=refused.exit_code)
        reason = traceback.format_exception_only(error)[-1].strip()
        log = write_fault_log(traceback.format_exc())
        sent = f"please send {log}" if log else "and its log cannot be written"
        _end(f"a fault of the program: {reason}; {sent}", code=ExitCode.FAULT)
    finally:
        ignore_requests()


def _wants_colour() -> bool | None:
    """Whether words are coloured; None for a terminal only. NO_COLOR wins over FORCE_COLOR."""
    if os.environ.get("NO_COLOR"):
        return False
    if os.environ.get("FORCE_COLOR"):
        return True
    return False if os.environ.get("TERM") == "dumb" else None


def _interrupt(number: int, frame: FrameType | None) -> NoReturn:
    """End a command that has no workers like Ctrl-C does, whatever the signal."""
    raise KeyboardInterrupt


def _end(*messages: str, code: ExitCode) -> NoReturn:
    ignore_requests()
    print_lines([f"proofs: {message}" for message in messages], to_errors=True)
    sys.exit(code)
