"""The set-up of the image library: its messages as text, and the profiles it reads by name."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import pyvips

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import spaces


def message_of_the_library(words: bytes) -> str:
    """What the binding makes of a text that the library hands over."""
    vips.ready()
    return str(pyvips._to_string(pyvips.ffi.new("char[]", words)))


def test_a_message_in_another_encoding_is_text() -> None:
    assert (
        message_of_the_library("Künstler".encode("latin-1")) == "K\N{REPLACEMENT CHARACTER}nstler"
    )
    assert message_of_the_library("Künstler".encode()) == "Künstler"


def test_a_profile_file_holds_its_profile_under_a_name_of_its_own() -> None:
    one, other = (spaces.built_in_profile(name) for name in ("srgb", "a98-rgb"))
    assert Path(vips.profile_file(one)).read_bytes() == one
    assert vips.profile_file(one) == vips.profile_file(one) != vips.profile_file(other)


def test_the_engine_states_lightness_for_low_middle_and_high_codes() -> None:
    # IEC 61966-2-1: code 128 of sRGB has L* 53.6.
    low, middle, high = vips.lightness_by_engine(spaces.built_in_profile("srgb"), 3)
    assert low == pytest.approx(0, abs=0.1)
    assert high == pytest.approx(100, abs=0.1)
    assert middle == pytest.approx(53.6, abs=0.2)


def test_the_engine_refuses_a_profile_for_another_number_of_channels() -> None:
    with pytest.raises(ValueError, match="does not accept it"):
        vips.lightness_by_engine(spaces.built_in_profile("srgb"), 4)


def test_threads_that_need_the_same_profile_find_all_of_it() -> None:
    # 20 MB take long enough to write that a file still being written would be seen.
    profiles = [bytes([n]) * 20_000_000 for n in range(3)]

    def size_of_file(profile: bytes) -> int:
        return Path(vips.profile_file(profile)).stat().st_size

    with ThreadPoolExecutor(8) as pool:
        sizes = [set(pool.map(size_of_file, [profile] * 8)) for profile in profiles]
    assert sizes == [{20_000_000}] * 3
