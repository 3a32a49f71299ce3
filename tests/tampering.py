"""Deliveries that somebody changed, with sums and records mended as one would who deceives."""

import hashlib
import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PIL import Image

from proofs.commands.delivery.record import facts_record
from proofs.outside.pixels.colour.spaces import built_in_profile
from proofs.outside.pixels.prints.file_facts import file_facts
from tests.command import Said

Tamper = Callable[[Path], None]
FileTamper = Callable[[Path, str], None]


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


def saved_anew(out: Path, name: str, **changes: Any) -> None:
    """Save a JPEG anew as it is, with these options changed, and mend all sums."""
    with Image.open(out / name) as picture:
        told = {
            key: picture.info[key] for key in ("dpi", "icc_profile", "xmp") if key in picture.info
        }
        options = told | {"quality": 92, "subsampling": 0}
        image = changes.pop("image", picture)
        image.save(out / name, "JPEG", **(options | changes))
    mend(out, name)


def flip_a_byte(out: Path, name: str) -> None:
    content = bytearray((out / name).read_bytes())
    content[len(content) // 2] ^= 1
    (out / name).write_bytes(content)


def cut_short(out: Path, name: str) -> None:
    (out / name).write_bytes((out / name).read_bytes()[:-2000])
    mend(out, name)


def make_empty(out: Path, name: str) -> None:
    (out / name).write_bytes(b"")
    mend(out, name)


def write_in_capitals(out: Path, name: str) -> None:
    path = out / name
    path.rename(path.with_name(path.stem.upper() + path.suffix))


def remove(out: Path, name: str) -> None:
    (out / name).unlink()


def remove_and_forget(out: Path, name: str) -> None:
    remove(out, name)
    mend_sums(out)


def add(out: Path, name: str) -> None:
    path = out / name
    path.with_name(f"more-{path.name}").write_bytes(path.read_bytes())


def add_and_sum(out: Path, name: str) -> None:
    add(out, name)
    mend_sums(out)


def link(out: Path, name: str) -> None:
    os.replace(out / name, out.parent / "elsewhere.jpg")
    (out / name).symlink_to(out.parent / "elsewhere.jpg")


def change_ppi(out: Path, name: str) -> None:
    saved_anew(out, name, dpi=(300, 300))


def take_profile(out: Path, name: str) -> None:
    saved_anew(out, name, icc_profile=None)


def change_profile(out: Path, name: str) -> None:
    saved_anew(out, name, icc_profile=built_in_profile("display-p3"))


def make_progressive(out: Path, name: str) -> None:
    saved_anew(out, name, progressive=True)


def thin_colour(out: Path, name: str) -> None:
    saved_anew(out, name, subsampling=2)


def make_grey(out: Path, name: str) -> None:
    with Image.open(out / name) as picture:
        image = picture.convert("L")
    saved_anew(out, name, image=image)


def add_metadata(out: Path, name: str) -> None:
    exif = Image.Exif()
    exif[0x010F] = "A camera"
    saved_anew(out, name, exif=exif)


def turn_by_a_tag(out: Path, name: str) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    saved_anew(out, name, exif=exif)


def hide_a_maker_note(out: Path, name: str) -> None:
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x927C] = b"where it was taken"
    saved_anew(out, name, exif=exif)


def claim_copyright(out: Path, name: str) -> None:
    exif = Image.Exif()
    exif[0x8298] = "Mine"
    saved_anew(out, name, exif=exif)


WITH_ANY_FILE: tuple[tuple[FileTamper, str], ...] = (
    (flip_a_byte, "checksum"),
    (cut_short, "unreadable"),
    (make_empty, "unreadable"),
    (write_in_capitals, "missing"),
    (write_in_capitals, "added"),
    (remove, "missing"),
    (remove_and_forget, "missing"),
    (add, "added"),
    (add_and_sum, "added"),
    (link, "folder"),
    (change_ppi, "ppi"),
    (take_profile, "profile"),
    (change_profile, "profile"),
    (make_progressive, "encoding"),
    (thin_colour, "encoding"),
    (make_grey, "channels"),
    (add_metadata, "metadata"),
    (turn_by_a_tag, "turning"),
    (hide_a_maker_note, "metadata"),
    (claim_copyright, "copyright"),
)
"""What can happen to a single JPEG of a delivery, with the code that tells of it."""
