"""Spoilt inputs for each reader of the program: the files to write, and what to run on them.

A case depends only on the seed, its reader's name and its number, so any case can be repeated.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from random import Random

from proofs.outside.run_record import JOURNAL, RECORD
from proofs.records.columns import COLUMNS
from tests.assault import words
from tests.assault.deliveries import NASTY
from tests.assault.materials import Materials, picture_bytes, redrawn
from tests.assault.mutations import spoilt, spoilt_bytes, spoilt_icc

HERE = "."
"""In the arguments: the folder of the case."""

_LAB = """
title = "A small lab"
source = "made up"

[file]
ppi = 100
format = "tiff"

[colour]
profile = "own.icc"

[print]
sheets = ["16x20 in"]
"""
_READ_BY_CHECK = {
    "rules": "--rules",
    "mounts": "--mount",
    "papers": "--paper",
    "labs": "--lab",
    "cutters": "--cutter",
}
_ENTRIES = b"number,file,title,size\n1,a.jpg,Old pier,long 2 in\n2,b.jpg,Reeds,\n"


@dataclass(frozen=True, slots=True)
class Case:
    """An input: files by name to write over a folder of two good pictures, and a command line."""

    arguments: tuple[str, ...]
    files: Mapping[str, bytes] = field(default_factory=dict)


Draw = Callable[[Materials, Random], Case]


def cells(materials: Materials, rng: Random) -> Case:
    """Cells of the entries file."""
    return _on_entries(words.entries_table(rng), rng)


def one_cell(materials: Materials, rng: Random) -> Case:
    """One strange cell in a row that is otherwise good."""
    column = rng.choice([c for c in COLUMNS if c != "file"])
    row = ["a.jpg", words.cell(column, rng)]
    return Case(("check", HERE), {"entries.csv": words.table(["file", column], [row], rng)})


def csv_bytes(materials: Materials, rng: Random) -> Case:
    """An entries file whose bytes were spoilt."""
    raw = spoilt_bytes(words.entries_table(rng), rng)
    if rng.random() < 0.1:
        raw = rng.choice((b"", b"\0", b"\xff\xfe", b"file", b'file\n"', b"file\n" + b"," * 50_000))
    return _on_entries(raw, rng)


def _on_entries(raw: bytes, rng: Random) -> Case:
    way = rng.choice(
        (
            *(("check", HERE),) * 4,
            ("check", HERE, "--json"),
            ("season", HERE),
            ("start", HERE, "--add"),
            ("choose", HERE, rng.choice(("1", "2")), rng.choice(("A", "B", "+0.10", "-1/3 stop"))),
        )
    )
    return Case(way, {"entries.csv": raw})


def choices(materials: Materials, rng: Random) -> Case:
    """The arguments of ``choose``."""
    number = rng.choice(("1", "2", "2", words.cell("number", rng)))
    step = words.cell("chosen", rng)
    return Case(
        ("choose", HERE, _as_argument(number), _as_argument(step)),
        {"entries.csv": b"number,file,chosen,bracket\n1,a.jpg,,0; +0.10\n2,b.jpg,B,from light\n"},
    )


def profiles(materials: Materials, rng: Random) -> Case:
    """A profile of any kind."""
    kind = rng.choice(tuple(materials.profiles))
    raw = words.toml_text(rng.choice(materials.profiles[kind]), rng).encode("utf-8", "replace")
    if rng.random() < 0.1:
        raw = spoilt_bytes(raw, rng)
    files = {f"profiles/{kind}/own.toml": raw, "entries.csv": _ENTRIES}
    if kind in _READ_BY_CHECK and rng.random() < 0.8:
        return Case(("check", HERE, _READ_BY_CHECK[kind], "own"), files)
    if kind == "lights" and rng.random() < 0.7:
        return Case(("light", "own", "--profiles", "profiles", "--versus", "editing-desk"), files)
    if rng.random() < 0.5:
        return Case(("profiles", "check", f"profiles/{kind}/own.toml"), files)
    return Case(("profiles", kind, "--profiles", "profiles"), files)


def benches(materials: Materials, rng: Random) -> Case:
    """A profile that the bench needs, in a whole run of ``mount``."""
    kind, option = rng.choice(
        (("stock", "--stock"), ("timetables", "--timetable"), ("labels", "--labels"))
    )
    raw = words.toml_text(rng.choice(materials.profiles[kind]), rng).encode("utf-8", "replace")
    one = b"number,file,title,size\n1,a.jpg,Old pier,long 2 in\n"  # two would take workers
    files = {f"profiles/{kind}/own.toml": raw, "entries.csv": one}
    more = ("--closing", "2027-03-01", "--rules", "none", "--anyway", "--out", "made")
    return Case(("mount", HERE, option, "own", *more), files)


def jobs(materials: Materials, rng: Random) -> Case:
    """``job.toml``."""
    good = (
        'rules = "print-40x50-cm"\nmount = "overlap-white"\npaper = "matt"\nlab = "wide-tiff-360"\n'
        'cutter = "hand"\nlight = "gallery-p1"\nprofiles = "."\npictures = "."\n'
        '[exhibitor]\nname = "A. Maker"\naddress = "12 Quay Lane"\n'
        '[customer]\naccount = "HB-2071"\n'
    )
    raw = words.toml_text(good, rng).encode("utf-8", "replace")
    raw = spoilt_bytes(raw, rng) if rng.random() < 0.3 else raw
    return Case(("check", HERE), {"job.toml": raw, "entries.csv": _ENTRIES})


def readings(materials: Materials, rng: Random) -> Case:
    """``arrived.csv``, a table of readings, and readings that are typed."""
    files = {"entries.csv": _ENTRIES}
    raw = words.readings_table(rng)
    raw = spoilt_bytes(raw, rng) if rng.random() < 0.3 else raw
    way = rng.randrange(3)
    if way == 0:
        return Case(("arrived", HERE), files | {"arrived.csv": raw})
    if way == 1:
        return Case(("arrived", HERE, "--from", "more.csv"), files | {"more.csv": raw})
    size, number = words.cell("size", rng), rng.choice(("1", "2", words.cell("number", rng)))
    sheet = ("--sheet", _as_argument(words.cell("size", rng))) if rng.random() < 0.3 else ()
    size = rng.choice((size, size, f"{words.length(rng)} x {words.length(rng)}"))
    size = size.lstrip("-")
    typed = ("arrived", HERE, _as_argument(number), _as_argument(size), *sheet)
    return Case(typed, files | ({"arrived.csv": raw} if rng.random() < 0.3 else {}))


def ticks(materials: Materials, rng: Random) -> Case:
    """``spotted.csv``, next to entries whose pictures are missing, so that none is looked at."""
    raw = words.ticks_table(rng)
    raw = spoilt_bytes(raw, rng) if rng.random() < 0.3 else raw
    files = {"entries.csv": b"number,file\n1,gone.jpg\n2,gone.jpg\n", "spotted.csv": raw}
    return Case(("inspect", HERE, "--out", "made"), files)


def shelves(materials: Materials, rng: Random) -> Case:
    """``shelf.csv``, in a whole run of ``mount`` or a check."""
    raw = words.shelf_table(rng)
    raw = spoilt_bytes(raw, rng) if rng.random() < 0.3 else raw
    files = {"entries.csv": _ENTRIES, "shelf.csv": raw}
    if rng.random() < 0.8:
        return Case(("check", HERE), files)
    files["entries.csv"] = _ENTRIES.replace(b"b.jpg", b"")  # two pictures would need workers
    return Case(("mount", HERE, "--rules", "none", "--anyway", "--out", "made"), files)


def light_words(materials: Materials, rng: Random) -> Case:
    """The figures of ``light``."""
    figures = [
        _as_argument(rng.choice((words.number(rng), words.edited(usual, rng), usual)))
        for usual in ("500", "1/20", "2.8", "100")
    ]
    if rng.random() < 0.4:
        return Case(("light", f"--lux={figures[0]}", "--versus", "editing-desk"))
    if rng.random() < 0.3:
        return Case(("light", "--", rng.choice((f"{figures[0]} lx", figures[0]))))
    return Case(
        ("light", f"--time={figures[1]}", f"--aperture={figures[2]}", f"--iso={figures[3]}")
    )


def pictures(materials: Materials, rng: Random) -> Case:
    """A picture file, read whole or only its header."""
    name, good = rng.choice(materials.pictures)
    content = spoilt(good, materials.all_pictures, rng)
    if rng.random() < 0.25:
        table = f"number,file\n1,{name}\n2,b.jpg\n".encode()
        return Case(("check", HERE), {name: content, "entries.csv": table})
    if rng.random() < 0.1:
        return Case(("light", "--card", name), {name: content})
    if rng.random() < 0.1:
        return Case(("strip-read", name), {name: content})
    return Case(("measure", name), {name: content})


def icc_profiles(materials: Materials, rng: Random) -> Case:
    """A colour profile inside a picture, or named by a lab."""
    profile = spoilt_icc(rng.choice(materials.icc), rng)
    if rng.random() < 0.2:
        profile = spoilt_bytes(profile, rng)
    if rng.random() < 0.3:
        files = {"profiles/labs/own.toml": _LAB.encode(), "profiles/labs/own.icc": profile}
        return Case(("check", HERE, "--lab", "own"), files | {"entries.csv": _ENTRIES})
    return Case(("measure", "a.jpg"), {"a.jpg": _with_profile(picture_bytes(), profile)})


def _with_profile(jpeg: bytes, profile: bytes) -> bytes:
    """A JPEG with this profile in segments of at most 65519 bytes (ICC.1:2010, annex B.4)."""
    pieces = [profile[at : at + 65_519] for at in range(0, len(profile), 65_519)] or [b""]
    made = jpeg[:2]
    for n, piece in enumerate(pieces, 1):
        inside = b"ICC_PROFILE\0" + bytes([n & 255, len(pieces) & 255]) + piece
        made += b"\xff\xe2" + (len(inside) + 2).to_bytes(2, "big") + inside
    return made + jpeg[2:]


def scans(materials: Materials, rng: Random) -> Case:
    """A scan for ``strip-read``: a spoilt file, or a good file of a changed picture."""
    name, good = rng.choice(materials.scans)
    if rng.random() < 0.6:
        return Case(("strip-read", name), {name: redrawn(good, rng)})
    return Case(("strip-read", name), {name: spoilt(good, materials.all_pictures, rng)})


def run_records(materials: Materials, rng: Random) -> Case:
    """The record and the journal of a run folder, which the next run reads first."""
    record = json.dumps({"schema": 1, "files": {"mounting.pdf": "ab" * 32, "cuts.json": "x"}})
    journal = json.dumps(["cuts.json", "cd" * 32]) + "\n" + json.dumps(["labels.pdf", "ef"]) + "\n"
    changed = {RECORD: record, JOURNAL: journal}
    name = rng.choice((RECORD, JOURNAL))
    text = changed[name]
    if rng.random() < 0.5:
        old = rng.choice(
            ('"ab', '"x"', "1", "{", '"files"', "[", "}", '"labels.pdf"', '"cuts.json"')
        )
        text = text.replace(old, rng.choice(NASTY), 1)
        raw = text.encode("utf-8", "surrogatepass")
    elif rng.random() < 0.3:
        raw = rng.choice(NASTY).encode("utf-8", "surrogatepass")
    else:
        raw = spoilt_bytes(text.encode(), rng)
    files = {f"made/{key}": value.encode() for key, value in changed.items()}
    files |= {f"made/{name}": raw, "entries.csv": _ENTRIES.replace(b"b.jpg", b"")}
    return Case(("mount", HERE, "--rules", "none", "--anyway", "--out", "made"), files)


def pages(materials: Materials, rng: Random) -> Case:
    """A mount, a paper or a cell that only a whole run of ``make`` draws or prints."""
    column = rng.choice(("title", "size", "crop", "bracket", "top_edge", "notes", "arrangement"))
    file = "a.jpg | b.jpg" if column == "arrangement" else "a.jpg"
    columns, row = ["file", column], [file, words.cell(column, rng)]
    if column != "bracket":  # one step is drawn as fast as one can be
        columns, row = [*columns, "bracket"], [*row, "0"]
    options = ("make", HERE, "--rules", "none", "--anyway", "--out", "made")
    if rng.random() < 0.5:
        return Case(options, {"entries.csv": words.table(columns, [row], rng)})
    kind = rng.choice(("mounts", "papers"))
    text = rng.choice(materials.profiles[kind])
    for _ in range(rng.choice((1, 2, 3))):
        text = words.toml_text(text, rng)
    files = {f"profiles/{kind}/own.toml": text.encode("utf-8", "replace")}
    files["entries.csv"] = b"file,title,size,bracket\na.jpg,Pier,long 2 in,0\n"
    return Case((*options, _READ_BY_CHECK[kind], "own"), files)


def fonts(materials: Materials, rng: Random) -> Case:
    """A font file."""
    content = spoilt_bytes(materials.font, rng)
    files = {"own.ttf": content, "entries.csv": "file,title\na.jpg,Вид ∃ 風\n".encode()}
    if rng.random() < 0.5:
        return Case(("check", HERE, "--font", "own.ttf"), files)
    mount = ("mount", HERE, "--rules", "none", "--anyway", "--out", "made")
    return Case((*mount, "--font", "own.ttf"), files)


def deliveries(materials: Materials, rng: Random) -> Case:
    """A delivery: ``tests.assault.deliveries`` spoils its files, with the same generator."""
    return Case(("verify", "out", *(("--json",) if rng.random() < 0.5 else ())))


def _as_argument(text: str) -> str:
    """A text as the system passes it to a program: without NUL."""
    return text.replace("\0", "")


READERS: Mapping[str, tuple[Draw, int]] = {
    "cells": (cells, 12),
    "one cell": (one_cell, 12),
    "csv": (csv_bytes, 8),
    "choices": (choices, 4),
    "profiles": (profiles, 13),
    "bench profiles": (benches, 1),
    "job": (jobs, 4),
    "readings": (readings, 6),
    "ticks": (ticks, 4),
    "shelf": (shelves, 3),
    "light": (light_words, 3),
    "pictures": (pictures, 14),
    "icc": (icc_profiles, 6),
    "scans": (scans, 3),
    "run records": (run_records, 1),
    "fonts": (fonts, 1),
    "pages": (pages, 1),
    "deliveries": (deliveries, 6),
}
"""Each reader by name, with the weight of its share of the cases."""
