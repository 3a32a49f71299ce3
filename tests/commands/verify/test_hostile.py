"""Deliveries that anybody may have spoilt: each ends in differences, soon, and without a fault.

``python -m tests.assault --reader deliveries`` tries many more, and ``--seed`` draws others.
"""

import json
import struct
import zlib
from collections.abc import Callable
from itertools import islice
from pathlib import Path

import pytest

from proofs.outside.delivery_folder import RECORD
from tests.assault.deliveries import (
    NASTY,
    SHAPES,
    fault_of,
    make_deliveries,
    spoilt_deliveries,
    with_json,
    write_text,
)
from tests.command import in_process
from tests.tampering import codes, copied, mend, record_of

SEED, COUNT = 20_261_129, 200


@pytest.fixture(scope="module")
def deliveries(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("hostile")
    make_deliveries(path)
    return path


@pytest.mark.parametrize("shape", SHAPES)
def test_none_of_them_differs_before_it_is_spoilt(deliveries: Path, shape: str) -> None:
    assert in_process("verify", deliveries / shape).code == 0


def test_spoilt_deliveries_end_in_differences(deliveries: Path, tmp_path: Path) -> None:
    spoilt = islice(spoilt_deliveries(deliveries, SEED), COUNT)
    faults = [
        f"{one.shape}: {one.words}: {fault}"
        for n, one in enumerate(spoilt)
        if (fault := fault_of(one, deliveries, tmp_path, as_json=n % 2 == 0))
    ]
    assert not faults


@pytest.mark.parametrize("text", NASTY)
def test_a_nasty_value_in_the_record_is_a_difference(
    deliveries: Path, tmp_path: Path, text: str
) -> None:
    out = copied(deliveries, "jpeg", tmp_path)
    write_text(out, with_json(record_of(out), ("files", 0, "image_px", "top"), text))
    said = in_process("verify", out, "--json")
    assert said.code == 1
    assert codes(said) & {"record", "margin"}


def test_a_record_that_names_other_bytes_is_a_difference(deliveries: Path, tmp_path: Path) -> None:
    out = copied(deliveries, "jpeg", tmp_path)
    write_text(out, with_json(record_of(out), ("files", 0, "bytes"), "2147483648"))
    assert "bytes" in codes(in_process("verify", out, "--json"))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is not JSON: line 1, column 1"),
        (b"\xff\xfe{\0}\0", "is not text in UTF-8"),
        (b"[" * 100_000, "is nested too deeply"),
        (b'{"schema": 1' + b"0" * 5000 + b"}", "holds a number of 5001 digits"),
        (b'{"schema": NaN}', "holds NaN, which is not a number in JSON"),
        (b'{"kind": 1, "kind": 2}', "holds the key 'kind' twice in one object"),
        (b'{"schema": 3}' + b" " * 17_000_000, "holds 17000013 bytes, more than it can need"),
        (b'{"schema": -3, "program": 0, "kind": 0}', "schema: -3 is not a whole number from 1"),
    ],
)
def test_a_record_that_is_none_is_a_difference(
    deliveries: Path, tmp_path: Path, content: bytes, words: str
) -> None:
    out = copied(deliveries, "jpeg", tmp_path)
    (out / RECORD).write_bytes(content)
    said = in_process("verify", out, "--json")
    assert said.code == 1
    messages = [d["message"] for d in json.loads(said.out)["differences"] if d["code"] == "record"]
    assert any(words in message for message in messages)


def test_what_a_record_holds_never_steers_a_terminal(deliveries: Path, tmp_path: Path) -> None:
    out = copied(deliveries, "jpeg", tmp_path)
    record = record_of(out)
    record["files"][0]["entry"] = "1\x1b[2J\u202e"
    write_text(out, json.dumps(record))
    for option in ((), ("--json",)):
        said = in_process("verify", out, *option)
        assert "1\\x1b[2J\\u202e" in said.out.replace("\\\\", "\\")
        assert not {"\x1b", "\u202e"} & set(said.out)


def chunk(name: bytes, content: bytes) -> bytes:
    check = zlib.crc32(name + content)
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", check)


def of_900_megapixels(content: bytes) -> bytes:
    rows = zlib.compressobj(9)
    bit_rows = b"\0" + b"\xff" * (30_000 * 3)
    packed = b"".join(rows.compress(bit_rows) for _ in range(40)) + rows.flush()
    head = struct.pack(">IIBBBBB", 30_000, 30_000, 8, 2, 0, 0, 0)
    return content[:8] + chunk(b"IHDR", head) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")


def with_text_of_5_gigabytes(content: bytes) -> bytes:
    packed = zlib.compress(bytes(50_000_000), 9)
    return content[:33] + chunk(b"zTXt", b"words\0\0" + packed) * 100 + content[33:]


def with_a_million_chunks(content: bytes) -> bytes:
    return content[:33] + chunk(b"noTe", b"") * 1_000_000 + content[33:]


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (of_900_megapixels, "holds 900 megapixels, more than 400; they were not read"),
        (with_text_of_5_gigabytes, "carries more than 64 MB besides its pixels"),
        (with_a_million_chunks, "carries more parts than any picture needs"),
    ],
)
def test_a_picture_that_unpacks_to_gigabytes_is_not_unpacked(
    deliveries: Path, tmp_path: Path, spoil: Callable[[bytes], bytes], words: str
) -> None:
    out, name = copied(deliveries, "png", tmp_path), "prints/1_one.png"
    (out / name).write_bytes(spoil((out / name).read_bytes()))
    mend(out, name)
    record = record_of(out)
    record["files"][0]["pixels"] = {"width": 30_000, "height": 30_000}
    write_text(out, json.dumps(record))
    said = in_process("verify", out, "--json")
    assert said.code == 1
    assert words in said.out


def test_pixels_are_not_decoded_where_the_record_names_other_ones(
    deliveries: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out, name = copied(deliveries, "png", tmp_path), "prints/1_one.png"
    (out / name).write_bytes(of_900_megapixels((out / name).read_bytes()))
    mend(out, name)
    monkeypatch.setattr("proofs.commands.verify.run.pixel_bands", None)
    record = record_of(out)
    record["catalogue"] = None
    write_text(out, json.dumps(record))
    assert "pixels" in codes(in_process("verify", out, "--json"))
