"""What lies in a folder or a zip is read only where it is a plain file inside it."""

import os
import socket
import struct
import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from proofs.outside import delivery_source
from proofs.outside.delivery_source import DeliveryPart, opened_delivery

MOST = 1_000_000


@contextmanager
def part_of(path: Path) -> Iterator[DeliveryPart]:
    with opened_delivery([path]) as parts:
        yield parts[-1]


def a_zip(path: Path, *entries: tuple[str | zipfile.ZipInfo, bytes]) -> Path:
    with zipfile.ZipFile(path, "w") as archive:
        for info, content in entries or (("a.txt", b"words"),):
            archive.writestr(info, content)
    return path


def patched(path: Path, old: bytes, new: bytes) -> Path:
    content = path.read_bytes()
    assert old in content
    path.write_bytes(content.replace(old, new))
    return path


def with_mode(name: str, mode: int) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name)
    info.create_system, info.external_attr = 3, mode << 16
    return info


@pytest.mark.parametrize(
    "name",
    [
        *(
            "/etc/passwd",
            "../up",
            "a/../../up",
            "a\\b",
            "C:x",
            "a//b",
            "./a",
            "nul\x07",
            "a\x1b[2J",
        ),
        *("\u202egpj.exe", "what?", "a|b"),
    ],
)
def test_an_entry_that_points_outside_is_reported(tmp_path: Path, name: str) -> None:
    with part_of(a_zip(tmp_path / "one.zip", (name, b"x"))) as part:
        assert part.faults == (f"{name} points outside it",)
        with pytest.raises(ValueError, match="points outside it"):
            part.read(name, most=MOST)


@pytest.mark.parametrize(
    ("info", "fault"),
    [
        (with_mode("link", 0o120777), "link is a link, not a file"),
        (with_mode("pipe", 0o010644), "pipe is a pipe, not a file"),
        (with_mode("device", 0o020644), "device is a device or a socket, not a file"),
        (with_mode("folder/", 0o040755), "folder/ is a folder"),
    ],
)
def test_an_entry_that_is_no_file_is_reported(
    tmp_path: Path, info: zipfile.ZipInfo, fault: str
) -> None:
    with part_of(a_zip(tmp_path / "one.zip", (info, b""))) as part:
        assert part.faults == (fault,)
        with pytest.raises(ValueError, match="cannot be read"):
            part.sha256(info.filename, most=MOST)


def test_an_empty_name_is_reported(tmp_path: Path) -> None:
    path = patched(a_zip(tmp_path / "one.zip"), b"a.txt", b"\0.txt")
    with part_of(path) as part:
        assert part.faults == (" points outside it",)


def test_two_entries_of_one_name_are_reported(tmp_path: Path) -> None:
    path = a_zip(tmp_path / "one.zip", ("a.txt", b"one"), ("b.txt", b"two"))
    with part_of(patched(path, b"b.txt", b"a.txt")) as part:
        assert part.faults == ("a.txt is in it twice",)
        with pytest.raises(ValueError, match="is in it twice"):
            part.read("a.txt", most=MOST)


def test_entries_that_overlap_are_not_read(tmp_path: Path) -> None:
    path = a_zip(tmp_path / "one.zip", ("a.txt", b"x" * 500), ("b.txt", b"two"))
    content = bytearray(path.read_bytes())
    second = content.index(b"PK\x01\x02", content.index(b"PK\x01\x02") + 1)
    content[second + 42 : second + 46] = bytes(4)  # the place of the local header
    path.write_bytes(content)
    with part_of(path) as part:
        assert part.faults == ("b.txt overlaps what follows it",)
        with pytest.raises(ValueError, match="overlaps"):
            part.read("b.txt", most=MOST)


@pytest.mark.parametrize(
    ("place", "value", "fault"),
    [
        (8, 1, "is encrypted"),  # the flags
        (10, 8, "is compressed"),  # the method: deflated
        (10, 99, "is compressed"),
        (24, 2**31, "is not as long as its directory says"),  # the size unpacked
    ],
)
def test_an_entry_of_another_kind_is_not_read(
    tmp_path: Path, place: int, value: int, fault: str
) -> None:
    path = a_zip(tmp_path / "one.zip")
    content = bytearray(path.read_bytes())
    start = content.index(b"PK\x01\x02")
    struct.pack_into("<I" if place == 24 else "<H", content, start + place, value)
    path.write_bytes(content)
    with part_of(path) as part:
        assert part.faults == (f"a.txt {fault}",)
        with pytest.raises(ValueError, match=r"cannot be read|more than it can need"):
            part.read("a.txt", most=MOST)


def test_a_wrong_check_sum_and_a_long_file_are_not_read(tmp_path: Path) -> None:
    path = patched(a_zip(tmp_path / "one.zip"), b"words", b"swords"[:5])
    with part_of(path) as part:
        for read in (part.read, part.sha256):
            with pytest.raises(ValueError, match="Bad CRC-32"):
                read("a.txt", most=MOST)
            with pytest.raises(ValueError, match="holds 5 bytes, more than it can need"):
                read("a.txt", most=4)


def no_utf8(path: Path) -> None:
    a_zip(path, ("\u00e9.txt", b"x"))
    patched(path, "\u00e9".encode(), b"\xff\xff")


def cut(path: Path) -> None:
    path.write_bytes(a_zip(path).read_bytes()[:-10])


def empty(path: Path) -> None:
    path.write_bytes(b"")


def of_many_entries(path: Path) -> None:
    """A directory of 5 MB, which would become a gigabyte of objects."""
    a_zip(path)
    content = path.read_bytes()
    start = content.index(b"PK\x01\x02")
    entry, end = content[start : content.index(b"PK\x05\x06")], content[-22:]
    size = len(entry) * 100_000
    end = end[:8] + struct.pack("<HHII", 65_535, 65_535, size, start) + end[20:]
    path.write_bytes(content[:start] + entry * 100_000 + end)


@pytest.mark.parametrize("make", [no_utf8, cut, empty, of_many_entries])
def test_a_zip_that_cannot_be_read_is_reported(
    tmp_path: Path, make: Callable[[Path], None]
) -> None:
    make(tmp_path / "one.zip")
    with part_of(tmp_path / "one.zip") as part:
        assert (part.faults, part.sizes) == (("is not a zip that can be read",), {})


def a_link_out(path: Path) -> None:
    path.symlink_to("/etc/hostname")


def a_link_to_a_folder(path: Path) -> None:
    path.symlink_to("/etc")


def a_socket(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as server:
        server.bind(str(path))


@pytest.mark.parametrize("name", ["odd", "odd.zip", "delivery.json"])
@pytest.mark.parametrize(
    ("make", "words"),
    [
        (a_link_out, "a link"),
        (a_link_to_a_folder, "a link"),
        (os.mkfifo, "a pipe"),
        (a_socket, "a device or a socket"),
    ],
)
def test_what_is_no_file_is_reported_and_never_opened(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    name: str,
    make: Callable[[Path], None],
    words: str,
) -> None:
    monkeypatch.chdir(tmp_path)  # the name of a socket must be short
    make(Path(name))
    with opened_delivery([tmp_path]) as parts:
        assert [(p.faults, p.sizes) for p in parts] == [((f"{name} is {words}, not a file",), {})]


def test_a_pipe_that_takes_the_name_of_a_file_is_not_waited_for(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("words")
    with part_of(tmp_path) as part:
        (tmp_path / "a.txt").unlink()
        os.mkfifo(tmp_path / "a.txt")
        with pytest.raises(ValueError, match="is not a file"):
            part.read("a.txt", most=MOST)


def test_a_file_of_a_terabyte_is_not_read(tmp_path: Path) -> None:
    with (tmp_path / "a.txt").open("wb") as file:
        file.truncate(2**40)
    with part_of(tmp_path) as part, pytest.raises(ValueError, match="more than it can need"):
        part.sha256("a.txt", most=MOST)


def test_folders_deep_inside_one_another_are_listed(tmp_path: Path) -> None:
    inner = tmp_path
    for _ in range(200):
        inner = inner / "deeper"
        inner.mkdir()
    with part_of(tmp_path) as part:
        assert part.faults == ("/".join(["deeper"] * 200) + " is an empty folder",)


@pytest.mark.parametrize("inner", ["", "prints"])
def test_a_folder_of_very_many_files_is_not_listed_to_the_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, inner: str
) -> None:
    monkeypatch.setattr(delivery_source, "MOST_NAMES", 20)
    (tmp_path / inner).mkdir(exist_ok=True)
    for n in range(21):
        (tmp_path / inner / str(n)).touch()
    with part_of(tmp_path) as part:
        assert part.faults == ("holds 20 files or more; the others were not read",)
        assert 19 <= len(part.sizes) <= 20
