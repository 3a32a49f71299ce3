"""Deliveries that somebody changed, with sums and records mended as one would who deceives."""

import hashlib
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

from proofs.delivery_beside_record import facts_record
from proofs.outside.pixels.file_facts import file_facts
from tests.command import Said

Tamper = Callable[[Path], None]


def copied(deliveries: Path, shape: str, tmp_path: Path) -> Path:
    """Return a copy of a delivery that may be changed."""
    return Path(shutil.copytree(deliveries / shape, tmp_path / "out"))


def codes(said: Said) -> set[str]:
    """Return the codes of the differences that were found."""
    return {d["code"] for d in json.loads(said.out)["differences"]}


def record_of(out: Path) -> Any:
    """Return the record of a delivery."""
    return json.loads((out / "delivery.json").read_bytes())


def files_of(record: Any) -> list[dict[str, Any]]:
    """Return what a record tells of each print and each catalogue copy."""
    return [*record["files"], *(record["catalogue"] or {"copies": []})["copies"]]


def write_record(out: Path, record: Any) -> None:
    """Write the record of a delivery, and mend the sums."""
    text = json.dumps(record, indent=2, ensure_ascii=False) + "\n"
    (out / "delivery.json").write_text(text, encoding="utf-8")
    mend_sums(out)


def mend(out: Path, name: str) -> None:
    """Make sums and record agree with a file as it now is, but for what it says of itself."""
    record, content = record_of(out), (out / name).read_bytes()
    for file in files_of(record):
        if file["file"] == name:
            file["sha256"], file["bytes"] = hashlib.sha256(content).hexdigest(), len(content)
    write_record(out, record)


def forge(out: Path, name: str) -> None:
    """Make the record say of a file all that it now says of itself."""
    record, content = record_of(out), (out / name).read_bytes()
    facts = file_facts(content)
    told = facts_record(facts) | {"sha256": hashlib.sha256(content).hexdigest()}
    for file in files_of(record):
        if file["file"] == name:
            file |= told | {"title_inside": facts.title or None}
    write_record(out, record)


def mend_sums(out: Path) -> None:
    """Write the check sums of all files that lie there anew."""
    names = sorted(p.relative_to(out).as_posix() for p in out.rglob("*") if p.is_file())
    lines = [
        f"{hashlib.sha256((out / n).read_bytes()).hexdigest()}  {n}\n"
        for n in names
        if n != "SHA256SUMS"
    ]
    (out / "SHA256SUMS").write_text("".join(lines))
