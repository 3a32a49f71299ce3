"""``proofs strip-read``."""

from pathlib import Path

import click

from proofs.cli.options import json_option
from proofs.cli.output import print_lines, print_record
from proofs.commands.strip_read import offset_in_words, reading_lines, record, shape_in_words
from proofs.errors import PhotographError, UsageError
from proofs.inspection.wedge_finding import find_wedge
from proofs.inspection.wedge_reading import WedgeReading
from proofs.outside.files import write_own
from proofs.outside.page_pdfs import reading_pdf
from proofs.outside.pixels.measure.scans import scan_luminance


@click.command("strip-read", short_help="Read the grey wedge in a scan of a print.")
@click.argument("scan", type=click.Path(path_type=Path))
@click.option(
    "--plot",
    metavar="FILE.pdf",
    type=click.Path(path_type=Path),
    help="Also write a page of plots.",
)
@json_option
def strip_read(scan: Path, plot: Path | None, as_json: bool) -> None:
    """Find the grey wedge in SCAN and report how far off the lab was.

    SCAN is a scan of a test strip, or of the margin of a print that has a wedge, or a photograph
    of one taken straight on; it may be turned and need not be evenly lit. The result gives the
    density asked for and the density read of each step, and the lab's offset at mid grey (L* 50).

    \b
      proofs strip-read strip.tif
      proofs strip-read strip.jpg --plot strip.pdf

    Scan at 300 ppi or more with all automatic corrections off, paper white at about 240 of
    255. Exit code 4 means that no wedge was found.
    """
    if plot is not None and plot.suffix.lower() != ".pdf":
        raise UsageError(f"{plot}: the plots are a PDF; give it a name that ends in .pdf")
    reading = _read(scan)
    if plot is not None:
        sentences = (offset_in_words(reading.offset), shape_in_words(reading))
        content = reading_pdf(reading, name=scan.name, sentences=sentences)
        write_own(plot, content, b"%% made by proofs: ")
    if as_json:
        print_record(record(reading, scan.name))
        return
    print_lines(reading_lines(reading))
    if plot is not None:
        print_lines(["", f"{plot}: the plots"])


def _read(scan: Path) -> WedgeReading:
    light = scan_luminance(scan)
    try:
        return find_wedge(light)
    except ValueError as error:
        raise PhotographError(f"{scan}: {error}") from error
