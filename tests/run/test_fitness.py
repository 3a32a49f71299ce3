"""What one computer makes files with, compared with another."""

import platform
from dataclasses import replace
from pathlib import Path

import pytest

from proofs.errors import ProfileError
from proofs.records.labs import FileFormat
from proofs.run.fitness import Trial, differences, trial_facts, version_facts
from tests.workbench import LAB

TRIAL = Trial(LAB, None, None)


def test_the_versions_are_those_of_the_program_of_python_and_of_what_makes_pixels() -> None:
    facts = dict(version_facts())
    assert facts["Python"] == platform.python_version()
    assert {"proofs", "machine", "zlib", "numpy", "pillow", "pyvips-binary"} <= facts.keys()


def test_the_test_print_is_the_same_every_time_and_another_for_another_lab() -> None:
    first = dict(trial_facts(TRIAL))
    assert dict(trial_facts(TRIAL)) == first
    others = replace(LAB, quality=60), replace(LAB, format=FileFormat.PNG)
    prints = {dict(trial_facts(Trial(lab, None, None)))["test print"] for lab in others}
    assert len(prints | {first["test print"]}) == 3


def test_a_picture_that_is_not_there_makes_a_difference(tmp_path: Path) -> None:
    picture = tmp_path / "a.jpg"
    picture.write_bytes(b"a picture")
    here = trial_facts(replace(TRIAL, picture=picture))
    picture.unlink()
    (found,) = differences(here, trial_facts(replace(TRIAL, picture=picture)))
    assert found.startswith("picture in the shared folder is not there, here 9 bytes of ")


def test_a_colour_profile_that_cannot_be_read_stops_the_trial(tmp_path: Path) -> None:
    lab = replace(LAB, colour_profile=str(tmp_path / "none.icc"))
    with pytest.raises(ProfileError, match="cannot be read"):
        trial_facts(Trial(lab, None, None))


def test_what_only_one_of_two_computers_has_is_missing_on_the_other() -> None:
    assert differences((("numpy", "2.0"),), ()) == ("numpy is missing, here 2.0",)
    assert differences((), (("numpy", "2.0"),)) == ("numpy is 2.0, here missing",)
    assert differences((("numpy", "2.0"),), (("numpy", "2.0"),)) == ()
