"""JPEGs with arithmetic coding are read right, with a warning: damage in them stays unnoticed.

Both files hold the same gradient. Made by cjpeg of libjpeg-turbo 2.1.5 with the options
``-quality 90 -sample 1x1 -arithmetic`` and ``-progressive``.
"""

import base64
from pathlib import Path

import numpy as np
import pytest

from proofs.outside.pixels.source.decode import decode, read_facts

START = """
/9j/4AAQSkZJRgABAQAAAQABAAD/2wBDAAMCAgMCAgMDAwMEAwMEBQgFBQQEBQoHBwYIDAoMDAsKCwsNDhIQDQ4R
DgsLEBYQERMUFRUVDA8XGBYUGBIUFRT/2wBDAQMEBAUEBQkFBQkUDQsNFBQUFBQUFBQUFBQUFBQUFBQUFBQUFBQU
"""
SEQUENTIAL = """
FBQUFBQUFBQUFBQUFBQUFBQUFBQUFBQUFBT/yQARCAAQABgDAREAAhEBAxEB/8wACgAQEAUBEBEF/9oADAMBAAIR
AxEAPwD/AOdfV6B6M5nu/a3tcpMEeMlvyiXnNe2fVeox6r6OWQGnYEkCAnLSWoi8mXj1y2vCbEO7/c6l0GLaZgzy
zEatI6IvmLrvJs3+IiAhszdhYP/Z
"""
PROGRESSIVE = """
FBQUFBQUFBQUFBQUFBQUFBQUFBQUFBQUFBT/ygARCAAQABgDAREAAhEBAxEB/8wABgAQARD/2gAMAwEAAhADEAAA
Af8AzpmFGM626lgqUxoHlUw2ko3othoLhsD/zAAEEAX/2gAIAQEAAQUCFVN0eLVxBlewxm7g/8wABBEF/9oACAED
AQE/ARWnbUprDjtMs7D/zAAEEQX/2gAIAQIBAT8BhnFL8G3/zAAEEAX/2gAIAQEABj8CXhPy/8wABBAF/9oACAEB
AAE/Iaoy40b/2gAMAwEAAgADAAAAEL3tYP/MAAQRBf/aAAgBAwEBPxAjDQaRZv/MAAQRBf/aAAgBAgEBPxCmAPQn
oP/MAAQQBf/aAAgBAQABPxBMek22WAdq/9k=
"""
Y, X = np.mgrid[:16, :24]
GRADIENT = np.stack([10 * X, 15 * Y, 128 + 3 * X - 4 * Y], axis=-1)
ROUNDED = 8  # codes: what quality 90 takes from a gradient as steep as this


@pytest.mark.parametrize("body", [SEQUENTIAL, PROGRESSIVE])
def test_a_jpeg_with_arithmetic_coding_is_read_right_with_a_warning(
    tmp_path: Path, body: str
) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(base64.b64decode(START + body))
    photograph = decode(path)
    found = photograph.image.numpy().astype(int)
    assert np.abs(found - GRADIENT).max() <= ROUNDED
    assert photograph.facts == read_facts(path)
    assert "read-with-warnings" in [note.code for note in photograph.facts.notes]


@pytest.mark.parametrize("body", [SEQUENTIAL, PROGRESSIVE])
def test_damage_in_a_jpeg_with_arithmetic_coding_is_warned_of_though_its_decoder_is_silent(
    tmp_path: Path, body: str
) -> None:
    whole = base64.b64decode(START + body)
    path = tmp_path / "a.jpg"
    path.write_bytes(whole[:-30] + bytes(28) + whole[-2:])
    words = " ".join(note.message for note in decode(path).facts.notes)
    assert "damage stays unnoticed" in words
