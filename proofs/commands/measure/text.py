"""The text of ``proofs measure`` for each file, and its JSON record."""

from collections import Counter
from collections.abc import Sequence

from proofs.commands.measure.worker import MeasuredFile
from proofs.findings import Status
from proofs.inspection.tone_figures import BARE_WHITE, ToneFigures
from proofs.pages.wording import counted
from proofs.plan.entry.facts import PhotoFacts
from proofs.records.job import Job
from proofs.run.json_report import JsonValue, findings_record, record_head, size_record
from proofs.run.printable import printable
from proofs.run.text_report import finding_lines

COLOURS = {1: "grey", 3: "colour", 4: "CMYK"}


def file_lines(place: int, file: MeasuredFile, job: Job) -> list[str]:
    """Return one file as text: its facts, its tones, and each finding with its remedy.

    ``place`` is its position among the files, from 1.
    """
    verdict = file.outcome.status.words.upper() if _is_judged(file) else ""
    lines = [f"{place:>4}  {verdict:<10} {printable(str(file.path))}"]
    facts = [*_facts(file), *_tones(file.tones, job), *_mounted(file)]
    lines += [f"      {words:<10} {value}" for words, value in facts]
    for finding in file.outcome.findings:
        lines += finding_lines(finding)
    return lines


def counted_line(files: Sequence[MeasuredFile]) -> str:
    """Return the number of files, and the number with each verdict."""
    counts = Counter(f.outcome.status.words if _is_judged(f) else "measured" for f in files)
    verdicts = ", ".join(f"{n} {verdict}" for verdict, n in counts.items())
    return f"{counted(len(files), 'file')}: {verdicts}"


def files_record(
    files: Sequence[MeasuredFile], job: Job, *, is_mounted: bool
) -> dict[str, JsonValue]:
    """Return all files as a JSON record."""
    return {
        **record_head(),
        "paper": job.paper.name,
        "mount": job.mounts[0].name if is_mounted else None,
        "rules": job.rules.name if is_mounted and job.rules else None,
        "lab": job.lab.name if is_mounted else None,
        "cutter": job.cutter.name if is_mounted else None,
        "files": [_record(file) for file in files],
    }


def _is_judged(file: MeasuredFile) -> bool:
    return file.outcome.plan is not None or file.outcome.status != Status.MET


def _facts(file: MeasuredFile) -> list[tuple[str, str]]:
    facts = file.facts
    if facts is None:
        return []
    stored = f" as it hangs; stored as {facts.stored}" if facts.is_turned else ""
    return [
        ("kind", f"{facts.kind.upper()}, {facts.bits} bits, {_colour(facts)}"),
        ("profile", printable(facts.profile or "none in the file")),
        ("pixels", f"{facts.pixels}{stored}"),
        ("resolution", _resolution(file, facts)),
        ("print size", str(file.size) if file.size else "not known without a resolution"),
    ]


def _colour(facts: PhotoFacts) -> str:
    return f"{COLOURS[facts.channels]} ({counted(facts.channels, 'channel')})"


def _resolution(file: MeasuredFile, facts: PhotoFacts) -> str:
    tag = f"its tag states {facts.own_ppi:g}" if facts.own_ppi else "it has no tag"
    if file.ppi is None:
        return "no tag; give one with --ppi"
    if file.ppi == facts.own_ppi:
        return f"{file.ppi:g} ppi, from its tag"
    return f"{file.ppi:g} ppi, as asked for; {tag}"


def _tones(tones: ToneFigures | None, job: Job) -> list[tuple[str, str]]:
    if tones is None:
        return []
    black = f"L* {job.paper.black_lightness:g}, the deepest black of {job.paper.title}"
    return [
        ("mean", f"{tones.mean:.2f} D, from its mean reflectance"),
        ("median", f"{tones.median:.2f} D"),
        ("lightest", f"1 % of the image is at {tones.lightest:.2f} D or less"),
        ("darkest", f"1 % of the image is at {tones.darkest:.2f} D or more"),
        ("blocked", f"{100 * tones.blocked_share:.1f} % darker than {black}"),
        ("bare white", f"{100 * tones.bare_share:.1f} % at L* {BARE_WHITE:g} or above"),
    ]


def _mounted(file: MeasuredFile) -> list[tuple[str, str]]:
    plan = file.outcome.plan
    if plan is None:
        return []
    sight = plan.layout.pictures[0].sight.size
    return [
        ("mount", f"{plan.mount.name} on a board of {plan.layout.board}"),
        ("visible", f"{sight}"),
    ]


def _record(file: MeasuredFile) -> dict[str, JsonValue]:
    facts, tones, plan = file.facts, file.tones, file.outcome.plan
    sight = plan.layout.pictures[0].sight.size if plan else None
    return {
        "file": printable(str(file.path)),
        "status": file.outcome.status if _is_judged(file) else "measured",
        "kind": facts.kind if facts else None,
        "bits": facts.bits if facts else None,
        "channels": facts.channels if facts else None,
        "profile": facts.profile if facts else None,
        "width_px": facts.pixels.width if facts else None,
        "height_px": facts.pixels.height if facts else None,
        "stored_width_px": facts.stored.width if facts else None,
        "stored_height_px": facts.stored.height if facts else None,
        "ppi_tag": facts.own_ppi if facts else None,
        "ppi": file.ppi,
        "print_mm": size_record(file.size),
        "sight_size_mm": size_record(sight),
        "mean_density": round(tones.mean, 4) if tones else None,
        "median_density": round(tones.median, 4) if tones else None,
        "lightest_1_percent_density": round(tones.lightest, 4) if tones else None,
        "darkest_1_percent_density": round(tones.darkest, 4) if tones else None,
        "blocked_share": round(tones.blocked_share, 6) if tones else None,
        "bare_share": round(tones.bare_share, 6) if tones else None,
        "findings": findings_record(file.outcome.findings),
    }
