"""Deliveries that a stranger spoilt: each must end in differences, never in a fault.

``python -m tests.assault --reader deliveries`` verifies many of them.
"""

import functools
import hashlib
import io
import json
import random
import shutil
import time
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.assault.messages import fault_in
from tests.assault.mutations import spoilt_bytes
from tests.command import gradient, in_process, write_entries
from tests.labs import write_screen_rules
from tests.tampering import mend, mend_sums, record_of

SHAPES = ("jpeg", "tiff", "png", "zip")
SLOWEST = 5.0  # seconds for one delivery; a good one takes a few hundredths
ALLOWED_CODES = (0, 1, 3)

LAB = """
title = "A tiny lab"
source = "made up"

[file]
ppi = 72
format = "{format}"
bits = {bits}

[colour]
profile = "srgb"

[print]
sheets = ["4x6 in"]
margin = "1/8 in"
papers = ["Lustre"]
prices = ["4x6 in: 2.50"]
currency = "EUR"
"""
FORMATS = {"jpeg": 8, "tiff": 16, "png": 16}

# JSON texts, some of which no program would write.
NASTY = (
    *("null", "true", "false", "0", "-1", "1", "2147483648", "9223372036854775808", "-0.0"),
    *("1" + "0" * 30, "7" * 5000, "0." + "3" * 5000, "0.5", "1e308", "1e999", "1e-999"),
    *("NaN", "Infinity", "-Infinity", '""', '"x"', '"\\ud800"', '"\\u0000"', '"\\u202egpj"'),
    *('"\\u001b[2J\\u001b]0;owned\\u0007"', '"../../elsewhere"', '"/etc/passwd"', '"C:\\\\x"'),
    *('"' + "x" * 20_000 + '"', '"1e999999999"', '"2026-02-30"', '"{title}{"', '"{0.__class__}"'),
    *(
        "[]",
        "{}",
        "[[]]",
        '{"width": 1}',
        "[" * 5000 + "]" * 5000,
        '{"a":' * 3000 + "1" + "}" * 3000,
    ),
    *(
        "[" + "0," * 20_000 + "0]",
        '[{"file": 1}]',
        '"jpeg"',
        '"prints/con.jpg"',
        "-3",
        "1e5",
        "70000",
    ),
)
_MARK = "@the value@"

Path_ = tuple[str | int, ...]
Spoil = Callable[[Path], None]


@dataclass(frozen=True, slots=True)
class Spoilt:
    """One input: the shape of its delivery, what is done to it in words, and what does it."""

    shape: str
    words: str
    spoil: Spoil


def make_deliveries(folder: Path) -> None:
    """Make a small good delivery of each shape."""
    gradient(folder / "one.jpg", 400, 300)
    write_screen_rules(folder)
    labs = folder / "profiles" / "labs"
    labs.mkdir(parents=True)
    for name, bits in FORMATS.items():
        (labs / f"{name}.toml").write_text(LAB.format(format=name, bits=bits), encoding="utf-8")
    write_entries(folder, "title,file,category,size,chosen", "One,one.jpg,Sea,long 4 in,A")
    options = ("--rules", "screen", "--jobs", "1", "--margin-line")
    beside = ("--catalogue", "--soft-proof")
    for shape in SHAPES:
        lab, more = (shape, beside) if shape != "zip" else ("png", (*beside, "--zip"))
        said = in_process("deliver", folder, "--lab", lab, *options, *more, "--out", folder / shape)
        assert said.code == 0, said.out + said.err


def paths_in(value: Any, path: Path_ = ()) -> Iterator[Path_]:
    """Yield the path of every value inside a value of JSON."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value)
    for key, inner in pairs:
        yield (*path, key)
        if isinstance(inner, dict | list):
            yield from paths_in(inner, (*path, key))


def with_json(record: Any, path: Path_, text: str) -> str:
    """Return a record as JSON with one value replaced by this text, which may be no JSON."""
    held = copied = json.loads(json.dumps(record))
    for key in path[:-1]:
        held = held[key]
    held[path[-1]] = _MARK
    return json.dumps(copied, ensure_ascii=False).replace(f'"{_MARK}"', text)


def record_values(record: Any) -> Iterator[tuple[Path_, str]]:
    """Yield every path of a record with each text to put there, also nearly right ones."""
    for path in paths_in(record):
        value = record
        for key in path:
            value = value[key]
        near = [value]
        if isinstance(value, int | float) and not isinstance(value, bool):
            near += [value + 1, value * 1000, -value, float(value), value / 3]
        if isinstance(value, str):
            near += [value + "x", value.upper(), value[:-1], value * 50, value + "\n"]
        if isinstance(value, list):
            near += [value * 2, value[:-1], value * 100]
        yield from ((path, text) for text in (*NASTY, *map(json.dumps, near[1:])))


def write_text(out: Path, record: str) -> None:
    """Write this text as the record of a delivery, and mend the sums."""
    (out / "delivery.json").write_bytes(record.encode("utf-8", "surrogatepass"))
    mend_sums(out)


def spoilt_file(shape: str, name: str, rng: random.Random) -> Spoilt:
    """Return a delivery with one file's bytes changed; mostly its record and sums agree."""
    seed, is_mended = rng.getrandbits(32), rng.random() < 0.7

    def spoil(out: Path) -> None:
        content = spoilt_bytes((out / name).read_bytes(), random.Random(seed))
        (out / name).write_bytes(content)
        if is_mended and not name.startswith(("delivery.json", "SHA256SUMS")):
            mend(out, name)
        elif is_mended and name != "SHA256SUMS":
            mend_sums(out)

    words = f"{name} spoilt with seed {seed}{', mended' if is_mended else ''}"
    return Spoilt(shape, words, spoil)


def spoilt_inside(rng: random.Random) -> Spoilt:
    """Return a delivery whose zip is repacked with one file changed, and sums that agree."""
    seed = rng.getrandbits(32)

    def spoil(out: Path) -> None:
        own = random.Random(seed)
        with zipfile.ZipFile(out / "delivery.zip") as archive:
            held = {name: archive.read(name) for name in archive.namelist()}
        name = own.choice(sorted(held))
        held[name] = spoilt_bytes(held[name], own)
        if own.random() < 0.3:
            held[
                own.choice(("../x", "/x", "a\\b", "C:x", "\x1b[2J", "a/", "\u202ex", "x" * 5000))
            ] = b"x"
        lines = [
            f"{hashlib.sha256(content).hexdigest()}  {n}\n"
            for n, content in sorted(held.items())
            if n != "SHA256SUMS"
        ]
        held["SHA256SUMS"] = "".join(lines).encode()
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w", own.choice((0, 0, 0, 8, 12, 14))) as archive:
            for n, content in held.items():
                archive.writestr(n, content)
        (out / "delivery.zip").write_bytes(packed.getvalue())
        mend_sums(out)

    return Spoilt("zip", f"a file in the zip spoilt with seed {seed}", spoil)


def spoilt_deliveries(deliveries: Path, seed: int) -> Iterator[Spoilt]:
    """Yield spoilt deliveries without end; the same seed draws the same."""
    rng = random.Random(seed)
    while True:
        yield spoilt_delivery(deliveries, rng)


@functools.cache
def _records_of(deliveries: Path) -> dict[str, Any]:
    return {shape: record_of(deliveries / shape) for shape in SHAPES}


@functools.cache
def _values_of(deliveries: Path, shape: str) -> tuple[tuple[Path_, str], ...]:
    return tuple(record_values(_records_of(deliveries)[shape]))


@functools.cache
def _names_in(deliveries: Path, shape: str) -> tuple[str, ...]:
    folder = deliveries / shape
    files = (path for path in folder.rglob("*") if path.is_file())
    return tuple(sorted(path.relative_to(folder).as_posix() for path in files))


def spoilt_delivery(deliveries: Path, rng: random.Random) -> Spoilt:
    """Return one spoilt delivery: its record, a picture, a list or a zip."""
    shape, way = rng.choice(SHAPES), rng.randrange(4)
    if way == 0:
        path, text = rng.choice(_values_of(deliveries, shape))
        record = with_json(_records_of(deliveries)[shape], path, text)
        words = f"delivery.json {'.'.join(map(str, path))} = {text[:60]}"
        return Spoilt(shape, words, lambda out: write_text(out, record))
    if way == 1:
        return rng.choice((spoilt_inside, lambda r: spoilt_file("zip", "delivery.zip", r)))(rng)
    names = _names_in(deliveries, shape)
    pictures = [name for name in names if name.startswith(("prints/", "catalogue/"))]
    return spoilt_file(shape, rng.choice(pictures if way == 2 and pictures else names), rng)


def fault_of(spoilt: Spoilt, deliveries: Path, place: Path, *, as_json: bool) -> str:
    """Return what is wrong with how the program treats a spoilt delivery, or nothing."""
    out = place / "out"
    shutil.copytree(deliveries / spoilt.shape, out)
    try:
        spoilt.spoil(out)
        start = time.perf_counter()
        said = in_process("verify", out, *(("--json",) if as_json else ()))
        took = time.perf_counter() - start
    finally:
        shutil.rmtree(out)
    if said.code not in ALLOWED_CODES:
        return f"exit code {said.code}: {said.err.strip()[:300]}"
    return f"took {took:.1f} s" if took > SLOWEST else fault_in(said)
