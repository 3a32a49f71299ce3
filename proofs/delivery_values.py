"""A delivery as values, from the sheets decided on and the files that were made of them."""

from collections.abc import Mapping, Sequence

from proofs.delivery_making import FileWishes, LabMade
from proofs.findings import Finding, Severity
from proofs.outside.pixels.lab_sheet import white_codes
from proofs.plan.deliveries import DeliveredFile, Delivery
from proofs.plan.file_rules import lab_findings
from proofs.plan.lab_sheets import LabSheet
from proofs.plan.outcomes import Outcome
from proofs.plan.planning import Plan, tolerances
from proofs.plan.refusals import BROKEN, Refusal
from proofs.records.job import Job
from proofs.records.rules import VisibleRule

_NOT_THE_RULES = ("resolution", "sheet", "overlap-left", "reveal-left", "gap-left", "mount-border")


def sheet_path(sheet: LabSheet) -> str:
    """Return where the file of a sheet lies in its delivery."""
    return f"prints/{sheet.name}"


def delivery_of(
    job: Job,
    outcomes: Sequence[Outcome],
    sheets: Sequence[LabSheet],
    made: Mapping[str, LabMade],
    wishes: FileWishes,
) -> Delivery:
    """Return what will be handed over; ``made`` are the finished sheets by their paths."""
    by_number = {outcome.entry.number: outcome for outcome in outcomes}
    files = tuple(_file(job, by_number[s.entry.number], s, made[sheet_path(s)]) for s in sheets)
    return Delivery(
        lab=job.lab,
        icc_sha256=files[0].facts.icc_sha256,
        white=tuple(white_codes(job.lab)),
        rules=job.rules.title if job.rules else "",
        files=files,
        copyright=wishes.copyright,
        keeps_metadata=wishes.keep_metadata,
    )


def against_the_lab(delivery: Delivery) -> tuple[Refusal, ...]:
    """Return what the lab would not take of the finished files."""
    refused = []
    for file in delivery.files:
        wrong = [f for f in lab_findings(delivery, file, file.facts) if f.severity > Severity.MET]
        if wrong:
            reason = "; ".join(f"{f.code}: {f.message}" for f in wrong)
            reason = f"the lab does not take the file: {reason}"
            refused.append(Refusal(file.entry, file.title, reason, BROKEN))
    return tuple(refused)


def _file(job: Job, outcome: Outcome, sheet: LabSheet, made: LabMade) -> DeliveredFile:
    plan, facts = outcome.plan, made.facts
    assert plan is not None, "a sheet has a plan"
    assert facts is not None, "a file that was made tells its facts"
    picture = sheet.piece.lying
    is_alone = sheet.piece.together is None
    beside = sheet.beside
    slug = (beside.slug.top, beside.slug.strip) if beside.slug else ()
    return DeliveredFile(
        file=made.name,
        entry=sheet.number,
        title=sheet.entry.title,
        copies=sheet.entry.copies,
        paper=sheet.paper,
        finish=sheet.finish,
        sheet=sheet.placing.sheet,
        image=sheet.placing.image,
        beside=(*beside.cut_marks, *slug),
        facts=facts,
        sha256=made.sha256,
        hidden=picture.hidden,
        opening=picture.limiting.size if picture.limiting and is_alone else None,
        slack=tolerances(job, plan).sight,
        limits=_limits(job, plan) if is_alone else VisibleRule(),
        verdicts=tuple(_rule_verdicts(job, outcome, plan)),
        missing=beside.missing,
        price=sheet.price,
    )


def _rule_verdicts(job: Job, outcome: Outcome, plan: Plan) -> list[Finding]:
    """What the exhibition's rules say to an entry; nothing where none were checked."""
    if job.rules is None:
        return []
    told = (Severity.MET, Severity.AT_RISK, Severity.BROKEN)
    return [f for f in outcome.findings if f.severity in told and f.code not in _NOT_THE_RULES]


def _limits(job: Job, plan: Plan) -> VisibleRule:
    """The rules' limits on the visible size; none where one file alone cannot show it."""
    if job.rules is None or len(plan.parts) > 1:
        return VisibleRule()
    picture, rule = plan.layout.pictures[0], job.rules.visible
    counts_more = rule.counts_paper and picture.print_seen != picture.sight
    return VisibleRule() if counts_more or picture.is_oval else rule
