"""A delivery as text for a terminal."""

from collections.abc import Sequence

from proofs.both_units import first_in
from proofs.commands.delivery.run import DeliveryRun
from proofs.densities import signed
from proofs.findings import Severity
from proofs.pages.columns import in_columns
from proofs.pages.delivery.order_lists import count_words, profile_words
from proofs.pages.delivery.totals import TO_EDGE, TO_PAY, cost_words, sum_rows
from proofs.pages.wording import counted, megabytes
from proofs.plan.checks.checking import cheaper_sheet
from proofs.plan.delivery.catalogue import FOLDER
from proofs.plan.delivery.deliveries import DeliveredFile, Delivery
from proofs.plan.delivery.delivery_names import sheet_words
from proofs.plan.delivery.lab_sheets import LabSheet
from proofs.plan.delivery.order_totals import order_totals
from proofs.plan.delivery.refusals import Refusal
from proofs.run.preflight import Preflight
from proofs.run.text_report import numbered

_ALWAYS_SHOWN = ("catalogue-smaller",)
_BROKEN = "breaks a rule: "


def refusal_lines(refusals: Sequence[Refusal]) -> list[str]:
    """Return which entries are refused and why, and what that means for the delivery."""
    pairs = [(f"{r.number:>4}  REFUSED    {r.title}", f"      -> {r.reason}") for r in refusals]
    entries = numbered([r.number for r in refusals])
    return [
        *(line for pair in pairs for line in pair),
        "",
        f"no delivery was made, because it is complete or not made at all: correct {entries}, or"
        f" write 0 under 'copies' to leave {'it' if len(refusals) == 1 else 'them'} out",
    ]


def density_lines(sheets: Sequence[LabSheet]) -> list[str]:
    """Return the densities that the entries file does not state.

    They are those of entries with no step chosen, which are printed at ``--density``, and of
    entries whose step is chosen by its letter.
    """
    lines = dict.fromkeys(
        f"entry {sheet.entry.number}: step {sheet.entry.chosen} is {signed(sheet.density)}"
        for sheet in sheets
        if isinstance(sheet.entry.chosen, str)
    )
    undecided = [sheet for sheet in sheets if not sheet.is_chosen]
    if not undecided:
        return list(lines)
    numbers = [sheet.entry.number for sheet in undecided]
    density = signed(undecided[0].density)
    return [*lines, f"no step chosen, printed at {density}: {numbered(numbers)}"]


def saving_lines(ready: Preflight, sheets: Sequence[LabSheet]) -> list[str]:
    """Return the cheaper sheets that a slightly different image would fit, entry by entry."""
    outcomes = {outcome.entry.number: outcome for outcome in ready.outcomes}
    lines = []
    for sheet in sheets:
        outcome = outcomes[sheet.entry.number]
        if outcome.plan is None:
            continue
        ordered = sheet.placing.sheet
        found = cheaper_sheet(ready.job, outcome.plan, ordered, outcome.findings)
        if found:
            words = f"entry {sheet.entry.number}: {found.message}; {found.remedy}"
            lines.append(first_in(ready.job.unit, words))
    return lines


def delivery_lines(delivery: Delivery, run: DeliveryRun) -> list[str]:
    """Return a delivery as text: one line for each file, then remarks and totals."""
    lines = in_columns([_row(file) for file in delivery.files])
    lines += [f"entry {f.entry}: {words}" for f in delivery.files for words in f.missing]
    lines += dict.fromkeys(
        f"entry {number}: {_BROKEN if finding.severity is Severity.BROKEN else ''}{finding.message}"
        for number, finding in run.notes
        if finding.severity >= Severity.WARNING or finding.code in _ALWAYS_SHOWN
    )
    size = megabytes(sum(file.facts.size_bytes for file in delivery.files))
    lines += ["", f"{count_words(delivery)}, {size}; {profile_words(delivery)}"]
    return [*lines, *filter(None, [_cost_line(delivery), _companions_line(delivery)])]


def _cost_line(delivery: Delivery) -> str:
    """What is to pay, and of what it is made up; blank if no price is known."""
    named = ((name, amount) for name, amount in sum_rows(delivery) if name != TO_PAY)
    sums = ", ".join(f"{name.lower()} {amount}" for name, amount in named)
    words = cost_words(delivery)
    return f"{words} ({sums})" if order_totals(delivery).is_more_than_prints else words


def _companions_line(delivery: Delivery) -> str:
    """What in a delivery is not for the lab, and for whom it is; blank if there is nothing."""
    words = []
    if delivery.catalogue:
        copies = len(delivery.catalogue.copies)
        words.append(f"{FOLDER}/ ({counted(copies, 'copy', 'copies')}, for the section)")
    if delivery.soft_proof:
        words.append(f"{delivery.soft_proof.file} (for you)")
    return f"not for the lab, and not for printing: {', '.join(words)}" if words else ""


def _row(file: DeliveredFile) -> tuple[str, ...]:
    made_of = ", ".join(words for words in (file.paper, file.finish) if words)
    return (
        f"{file.entry:>4}",
        f"{file.copies} x",
        sheet_words(file.sheet),
        made_of,
        file.file,
        f"image {file.image_size()}{TO_EDGE if file.is_to_edge else ''}",
    )
