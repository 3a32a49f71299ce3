"""The documents for the bench as PDFs.

They are apart from those of the other commands, which need not load all that the bench needs.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from functools import partial

from proofs.outside.page_pdfs import PageOptions, document_pdf
from proofs.outside.pdf import Document, LayOut
from proofs.outside.qr import qr_modules
from proofs.pages.bench.pages import Supplies, bench_pages
from proofs.pages.labels.pages import label_pages
from proofs.pages.templates.pages import template_pages
from proofs.plan.bench.labels import BothSides, LabelOrder, code_text, labels_of
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.mount_kinds import BenchEntry
from proofs.plan.cutting.templates import templates_of
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job

_NO_THUMBNAILS: Mapping[str, Sequence[BothSides[bytes]]] = {}


def mounting_pdf(
    job: Job,
    benches: Sequence[BenchEntry],
    supplies: Supplies,
    options: PageOptions,
    *,
    left_out: str = "",
) -> bytes:
    """Return the pages for the bench, in the order of the work.

    ``left_out`` says which entries are not on them, here and below.
    """
    lay_out = partial(bench_pages, job, benches, supplies)
    document = Document("Mounting", job.author, job.unit)
    return document_pdf(_leaving_out(left_out, lay_out), document, options)


def templates_pdf(
    job: Job,
    plans: Sequence[Plan],
    options: PageOptions,
    *,
    measured: Collection[str] = (),
    left_out: str = "",
    is_whole: bool = False,
) -> bytes:
    """Return the full-size templates; mounts that are alike share one.

    ``measured`` holds the numbers of the entries whose prints were measured: the pages of all
    others are stamped. They show the corners of each mount, or all of it if ``is_whole``. Raises
    ``ValueError`` if there is no plan.
    """
    if not plans:
        raise ValueError("no plan, so there is no template to draw")
    templates = templates_of(plans, measured)
    lay_out = partial(template_pages, templates, marks_of(job), is_whole=is_whole)
    document = Document("Templates", job.author, job.unit)
    return document_pdf(_leaving_out(left_out, lay_out), document, options)


def labels_pdf(
    job: Job,
    outcomes: Sequence[Outcome],
    order: LabelOrder,
    options: PageOptions,
    *,
    left_out: str = "",
    thumbnails: Mapping[str, Sequence[BothSides[bytes]]] = _NO_THUMBNAILS,
) -> bytes:
    """Return the pages of labels, one label for each entry, and of where each label goes.

    The page size is that of plain paper; a label sheet has its own. ``thumbnails`` are JPEGs of
    what is seen of the pictures of each entry, by its number.
    """
    files: dict[str, bytes] = {}
    labelled = []
    for each in labels_of(outcomes, job.rules, order.exhibitor):
        names = []
        for n, sides in enumerate(thumbnails.get(each.label.number, ())):
            named = BothSides(f"{each.label.number} {n} front", f"{each.label.number} {n} back")
            files |= {named.front: sides.front, named.back: sides.back}
            names.append(named)
        labelled.append(replace(each, pictures=tuple(names)))
    labels = [each.label for each in labelled] if order.qr else []
    codes = {label.number: qr_modules(code_text(label)) for label in labels}
    lay_out = partial(label_pages, labelled, codes, order)
    document = Document("Labels", job.author, job.unit)
    shown = files.__getitem__
    return document_pdf(_leaving_out(left_out, lay_out), document, options, pictures=shown)


def _leaving_out(left_out: str, lay_out: LayOut) -> LayOut:
    """The same pages, with a line at the foot of each that says which entries they leave out."""
    return lambda layout: lay_out(replace(layout, left_out=left_out))
