"""The full-size templates of a run as a PDF."""

from collections.abc import Collection, Sequence
from pathlib import Path

from proofs.outside.fonts import load_fonts
from proofs.outside.pdf import no_pictures, write_pdf
from proofs.pages.templates.pages import template_pages
from proofs.plan.cutting.templates import templates_of
from proofs.plan.entry.planning import Plan


def templates_pdf(
    plans: Sequence[Plan],
    *,
    measured: Collection[str] = (),
    paper_size: str,
    font: Path | None,
    version: str,
) -> bytes:
    """Return the PDF; mounts that are alike share one template.

    ``measured`` holds the numbers of the entries whose prints were measured: the pages of all
    others are stamped. ``paper_size`` is ``a4`` or ``letter``; ``font`` adds characters that
    ours lacks. There must be a plan at least: ``ValueError``.
    """
    if not plans:
        raise ValueError("no plan, so there is no template to draw")
    fonts = load_fonts(font)
    templates = templates_of(plans, measured)
    pages = template_pages(templates, paper=paper_size, version=version, measure=fonts.width)
    return write_pdf(pages, fonts=fonts, picture_bytes=no_pictures, title="Templates")
