"""What a lab asks of a file, each point with its verdict: measured on the file alone."""

from collections.abc import Iterator

from proofs.findings import Finding, Severity
from proofs.plan.delivery.deliveries import BASELINE, DeliveredFile, Delivery, FileFacts
from proofs.plan.delivery.delivery_names import fits_pattern
from proofs.plan.sheets.placing import Placing, place
from proofs.records.labs import FileFormat

_PPI_SLACK = 0.01  # a PNG counts in whole pixels a metre


def lab_findings(delivery: Delivery, file: DeliveredFile, facts: FileFacts) -> tuple[Finding, ...]:
    """Return the verdict on each point that the lab asks for; ``facts`` are the file's own."""
    return tuple(
        Finding(code, Severity.MET if is_met else Severity.BROKEN, message)
        for code, is_met, message in _points(delivery, file, facts)
    )


def _points(
    delivery: Delivery, file: DeliveredFile, facts: FileFacts
) -> Iterator[tuple[str, bool, str]]:
    lab = delivery.lab
    placing = _placing(delivery, file)
    wanted = placing.file if placing else None
    yield (
        "format",
        facts.format == lab.format,
        f"{facts.format.upper()}, asked {lab.format.upper()}",
    )
    yield (
        "pixels",
        facts.pixels == wanted,
        f"{facts.pixels}, {wanted} for a sheet of {file.sheet} at {lab.ppi} ppi",
    )
    is_ppi = facts.ppi is not None and abs(facts.ppi - lab.ppi) <= _PPI_SLACK
    yield "ppi", is_ppi, f"{facts.ppi or 0:g} ppi, asked {lab.ppi}"
    yield "bits", facts.bits == lab.bits, f"{facts.bits} bits a channel, asked {lab.bits}"
    is_profile = facts.icc_sha256 == delivery.icc_sha256
    yield "profile", is_profile, f"profile: {facts.icc or 'none'}"
    if lab.format == FileFormat.JPEG:
        yield "encoding", facts.encoding == BASELINE, facts.encoding or "no JPEG"
    if lab.most_px is not None:
        longest = max(facts.pixels.width, facts.pixels.height)
        yield "side", longest <= lab.most_px, f"{longest} px long, at most {lab.most_px}"
    if lab.most_bytes is not None:
        size = f"{facts.size_bytes / 1e6:.2f} MB, at most {lab.most_bytes / 1e6:g}"
        yield "bytes", facts.size_bytes <= lab.most_bytes, size
    yield (
        "margin",
        placing is not None,
        f"white margin of at least {max(lab.margin, lab.edge_loss)}",
    )
    name = file.file.rpartition("/")[2]
    yield (
        "name",
        fits_pattern(lab, name),
        f"name of {len(name)} characters, at most {lab.name_most}",
    )


def _placing(delivery: Delivery, file: DeliveredFile) -> Placing | None:
    """Where the image has to lie; None where it lies elsewhere, or the margin is too narrow."""
    try:
        placing = place(delivery.lab, file.sheet, file.image.size)
    except ValueError:
        return None
    return placing if placing.image == file.image else None
