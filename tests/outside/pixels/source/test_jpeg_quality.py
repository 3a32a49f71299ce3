"""The quality of a JPEG is the one that an encoder was asked for: Pillow's, which is the IJG's."""

import io

import numpy as np
import pytest
from PIL import Image

from proofs.outside.pixels.source.jpeg_quality import jpeg_quality


def saved(**how: object) -> bytes:
    stream = io.BytesIO()
    picture = Image.fromarray(np.full((16, 16, 3), 128, np.uint8))
    picture.save(stream, "JPEG", **how)
    return stream.getvalue()


@pytest.mark.parametrize("quality", [*range(5, 101, 5), 1, 2, 93, 96, 98])
def test_the_quality_is_the_one_that_pillow_was_asked_for(quality: int) -> None:
    assert jpeg_quality(saved(quality=quality)) == quality


def test_a_progressive_and_a_grey_jpeg_have_the_same_tables() -> None:
    assert jpeg_quality(saved(quality=82, progressive=True)) == 82


def test_an_encoder_with_tables_of_its_own_gets_the_nearest_quality() -> None:
    assert jpeg_quality(saved(qtables=[[1] * 64, [1] * 64])) == 100
    assert jpeg_quality(saved(qtables=[[255] * 64, [255] * 64])) in range(1, 11)


@pytest.mark.parametrize("content", [b"", b"\xff\xd8", b"\xff\xd8\xff\xdb\0\x05\0ab", b"II*\0"])
def test_what_has_no_table_has_no_quality(content: bytes) -> None:
    assert jpeg_quality(content) is None
