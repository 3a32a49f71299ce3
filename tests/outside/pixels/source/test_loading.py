"""Files read piece by piece, and wide pixels read as codes, are the same pictures.

The reference is the same file kept in memory, or the array that was written into it.
"""

import hashlib
import os
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import pyvips
import tifffile

from proofs.errors import PhotographError
from proofs.outside.pixels.source import decode as decode_module
from proofs.outside.pixels.source import loading
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.source.file_bytes import FileBytes, file_bytes, sha256_of_content

CODES = np.random.default_rng(3).integers(0, 65536, (90, 120, 4), dtype=np.uint16)
OPTIONS: dict[str, dict[str, Any]] = {
    "plain.tif": {},
    "tiles.tif": {"tile": True, "tile_width": 32, "tile_height": 32, "compression": "deflate"},
    "plain.png": {},
    "passes.png": {"interlace": True},
    "plain.jpg": {},
    "progressive.jpg": {"interlace": True},
    "plain.webp": {},
}


def written(path: Path, bands: int = 3, **options: Any) -> Path:
    image = pyvips.Image.new_from_array(CODES[..., :bands].copy(), interpretation="rgb16")
    is_16 = path.suffix in (".tif", ".png")
    (image if is_16 else image.colourspace("srgb")).write_to_file(str(path), **options)
    return path


@pytest.fixture
def by_pieces(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(decode_module, "_MOST_IN_MEMORY", 0)


@pytest.mark.parametrize("name", sorted(OPTIONS))
def test_a_file_read_by_pieces_is_the_same_picture(
    tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = written(tmp_path / name, **OPTIONS[name])
    whole = decode(path)
    monkeypatch.setattr(decode_module, "_MOST_IN_MEMORY", 0)
    pieces = decode(path)
    assert np.array_equal(pieces.image.numpy(), whole.image.numpy())
    assert (pieces.sha256, pieces.facts, pieces.profile) == (
        hashlib.sha256(path.read_bytes()).hexdigest(),
        whole.facts,
        whole.profile,
    )


@pytest.mark.parametrize("name", ["plain.tif", "tiles.tif", "plain.png", "passes.png"])
def test_codes_of_16_bits_come_as_they_were_written(
    tmp_path: Path, name: str, by_pieces: None
) -> None:
    image = decode(written(tmp_path / name, **OPTIONS[name])).image
    assert np.array_equal(image.numpy(), CODES[..., :3])
    assert not [field for field in image.get_fields() if "data" in field or field == "orientation"]


def test_opaque_pixels_keep_their_codes_where_alpha_is_taken_away_as_they_are_read(
    tmp_path: Path,
) -> None:
    codes = CODES.copy()
    codes[..., 3] = 65535
    image = pyvips.Image.new_from_array(codes, interpretation="rgb16")
    image.write_to_file(str(tmp_path / "a.png"))
    assert np.array_equal(decode(tmp_path / "a.png").image.numpy(), codes[..., :3])


def test_samples_of_32_bits_become_codes_as_they_are_read(tmp_path: Path) -> None:
    codes = CODES[..., :3]
    tifffile.imwrite(tmp_path / "a.tif", codes.astype(np.uint32) * 65537, photometric="rgb")
    assert np.array_equal(decode(tmp_path / "a.tif").image.numpy(), codes)


@pytest.mark.parametrize("keeps_its_time", [False, True])
def test_a_file_that_changes_while_it_is_read_by_pieces_is_refused(
    tmp_path: Path, by_pieces: None, monkeypatch: pytest.MonkeyPatch, keeps_its_time: bool
) -> None:
    path, read = written(tmp_path / "a.tif"), loading.all_pixels
    before = path.stat()

    def disturbed(*arguments: Any, **options: Any) -> Any:
        content = bytearray(path.read_bytes())
        content[len(content) // 2] ^= 1
        with path.open("r+b") as file:
            file.write(content)
        if keeps_its_time:
            os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
        return read(*arguments, **options)

    monkeypatch.setattr(decode_module, "all_pixels", disturbed)
    with pytest.raises(PhotographError) as refused:
        decode(path)
    assert refused.value.code == "changed-while-read"


def test_a_file_cut_short_while_it_is_read_by_pieces_is_refused(
    tmp_path: Path, by_pieces: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, read = written(tmp_path / "a.tif"), loading.all_pixels

    def cut(*arguments: Any, **options: Any) -> Any:
        os.truncate(path, 1000)
        return read(*arguments, **options)

    monkeypatch.setattr(decode_module, "all_pixels", cut)
    with pytest.raises(PhotographError) as refused:
        decode(path)
    assert refused.value.code == "changed-while-read"


def test_bytes_can_read_differently_from_those_in_the_file(tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_bytes(bytes(range(100)))
    with path.open("rb") as file:
        held = FileBytes(file, 100, {10: b"ab", 99: b"c"})
        assert held[8:13] == bytes([8, 9, *b"ab", 12])
        assert held[11:12] == b"b"
        assert held[98:] == b"\x62c"
        assert held[12:99] == bytes(range(12, 99))
        assert sha256_of_content(held) == hashlib.sha256(bytes(held)).hexdigest()
        assert sha256_of_content(file_bytes(file)) == hashlib.sha256(bytes(range(100))).hexdigest()


def test_damage_without_a_reason_is_not_taken_for_a_lack_of_memory(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # What the library says of some damaged PNG files, as seen; for 60 kB there is always memory.
    def failing(_: pyvips.Image) -> bytes:
        raise pyvips.Error("unable to write to memory", "")

    path = written(tmp_path / "plain.png")
    monkeypatch.setattr(pyvips.Image, "write_to_memory", failing)
    with pytest.raises(PhotographError, match="its pixels cannot be decoded"):
        decode(path)
