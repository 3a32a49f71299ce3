"""The outcome of an entry, put together from what was made or kept of it."""

from collections.abc import Callable
from dataclasses import replace

from proofs.commands.make.order import (
    EntryParts,
    MakeTask,
    back_name,
    hung_name,
    life_size_name,
    mockup_name,
    small_picture_name,
)
from proofs.inspection.frames_and_rules import IN_FILE
from proofs.inspection.look_findings import is_inspected
from proofs.plan.checks.checking import by_severity
from proofs.plan.checks.outcomes import Outcome, PrintFile, StepOutcome
from proofs.records.mounts import WindowKind
from proofs.run.print_files import print_file, print_stems, step_names
from proofs.run.step_tones import blocked_findings


def finished_outcome(task: MakeTask, parts: EntryParts, sha256_of: Callable[[str], str]) -> Outcome:
    """Return the outcome of an entry of which nothing is left to do.

    ``sha256_of`` returns the digest of a file by its name.
    """
    plan, outcome = task.plan, task.outcome
    steps = tuple(
        replace(
            step,
            print_files=_print_files(task, step, parts, sha256_of),
            mockup=mockup_name(task.stem, step.variant),
            small_pictures=tuple(
                small_picture_name(task.stem, step.variant, n) for n in range(len(plan.parts))
            ),
            life_size=life_size_name(task.stem, step.variant) if parts.life_size else "",
            tones=parts.tones[step.variant.step],
        )
        for step in outcome.steps
    )
    found = list(parts.findings or ())
    if is_inspected(outcome.findings):  # which has judged its borders more closely
        found = [finding for finding in found if finding.code != IN_FILE]
    found += blocked_findings(task.job, plan.variants, [s.tones for s in steps if s.tones])
    new = dict.fromkeys(f for f in found if f not in outcome.findings)
    return replace(
        outcome,
        findings=by_severity((*outcome.findings, *new)),
        steps=steps,
        mockup_back=back_name(task.stem),
        is_printed=task.is_printed,
        life_size=parts.life_size,
        hung=hung_name(task.stem) if task.is_hung else "",
    )


def _print_files(
    task: MakeTask, step: StepOutcome, parts: EntryParts, sha256_of: Callable[[str], str]
) -> tuple[PrintFile, ...]:
    """The print files of a step, one for each picture; none if it has no file."""
    plan, suffix = task.plan, task.job.lab.suffix
    with_variants = task.options.variants
    if not task.is_printed or not (with_variants or step.variant == plan.printed):
        return ()
    stems = print_stems(plan, task.stem)
    if plan.mount.window == WindowKind.SURROUND:
        stems *= len(plan.parts)
    names = [
        step_names(plan, stem, step.variant, suffix, with_variants=with_variants)[0]
        for stem in stems
    ]
    return tuple(
        print_file(plan, n, name, parts.printed[name], sha256_of(name))
        for n, name in enumerate(names)
    )
