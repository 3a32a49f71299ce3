"""The command line becomes entries and a job; options win over the job file."""

from pathlib import Path

import pytest

from proofs.errors import EntriesError, ProfileError
from proofs.run.inputs import ProfileNames, job_source, read_inputs

JPEG = b"\xff\xd8\xff\xe0"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ("b10.jpg", "b9.jpg"):
        (tmp_path / name).write_bytes(JPEG)
    return tmp_path


def test_a_folder_without_an_entries_file_gives_its_pictures_in_natural_order(folder: Path) -> None:
    assert [e.file for e in read_inputs([folder]).table.entries] == ["b9.jpg", "b10.jpg"]


def test_the_entries_file_of_a_folder_is_used_and_named(folder: Path) -> None:
    (folder / "entries.csv").write_text("file,title\nb10.jpg,Ten\n")
    inputs = read_inputs([folder])
    assert [e.title for e in inputs.table.entries] == ["Ten"]
    assert inputs.notes == (f"entries read from {folder / 'entries.csv'}",)


def test_bare_pictures_are_entries(folder: Path) -> None:
    inputs = read_inputs([folder / "b9.jpg", folder / "b10.jpg"])
    assert [e.file for e in inputs.table.entries] == ["b9.jpg", "b10.jpg"]
    assert inputs.folder == folder


def test_unknown_columns_are_named_once(folder: Path) -> None:
    (folder / "entries.csv").write_text("file,price,shelf\nb9.jpg,3,a\nb10.jpg,4,b\n")
    notes = read_inputs([folder]).notes
    assert notes[-1] == "columns kept but not used: price, shelf"


def test_an_empty_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(EntriesError, match="holds no pictures"):
        read_inputs([tmp_path])


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(EntriesError, match=r"gone\.jpg: there is no such file"):
        read_inputs([tmp_path / "gone.jpg"])


def test_default_profiles_are_used_and_listed(folder: Path) -> None:
    job, notes = job_source(ProfileNames(), folder).job(())
    assert job.rules is not None
    assert job.rules.name == "print-16x20-in"
    assert notes == (
        "defaults used: rules print-16x20-in, mount overlap-white, paper lustre, lab srgb-jpeg-300,"
        " cutter hand",
    )


def test_the_job_file_next_to_the_entries_is_used(folder: Path) -> None:
    (folder / "job.toml").write_text('rules = "none"\ncutter = "rail"\n')
    job, _ = job_source(ProfileNames(), folder).job(())
    assert (job.rules, job.cutter.name) == (None, "rail")


def test_an_option_wins_over_the_job_file(folder: Path) -> None:
    (folder / "job.toml").write_text('cutter = "rail"\n')
    job, _ = job_source(ProfileNames(cutter="hand"), folder).job(())
    assert job.cutter.name == "hand"


def test_a_mistyped_key_in_the_job_file_is_named_with_the_nearest_one(folder: Path) -> None:
    (folder / "job.toml").write_text('cuter = "rail"\n')
    with pytest.raises(ProfileError, match=r"job\.toml: cuter: unknown key; did you mean 'cutter'"):
        job_source(ProfileNames(), folder).job(())


def test_a_users_profile_replaces_ours_completely(folder: Path) -> None:
    own = folder / "profiles" / "cutters"
    own.mkdir(parents=True)
    text = 'title = "Mine"\nsource = "me"\n[tolerance]\ncut = "0.2 mm"\nplacing = "1 mm"\n'
    (own / "hand.toml").write_text(text)
    job, _ = job_source(ProfileNames(), folder).job(())
    assert job.cutter.title == "Mine"


def test_a_missing_profile_is_reported_with_those_that_exist(folder: Path) -> None:
    with pytest.raises(ProfileError, match="there is no profile 'saw'; there are: hand, rail"):
        job_source(ProfileNames(cutter="saw"), folder).job(())


def test_a_profile_name_never_leads_out_of_its_folder(folder: Path) -> None:
    with pytest.raises(ProfileError, match="there is no profile"):
        job_source(ProfileNames(cutter="../../cutters/hand"), folder).job(())


def test_a_file_that_is_not_toml_is_named_with_its_line(folder: Path) -> None:
    (folder / "job.toml").write_text("rules = print\n")
    with pytest.raises(ProfileError, match=r"job\.toml: is not TOML: .*line 1"):
        job_source(ProfileNames(), folder).job(())


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("rules = " + "[" * 3000 + "]" * 3000, "is nested too deeply; remove brackets"),
        ("rules = " + "7" * 5000, "holds a number of too many digits; shorten it"),
    ],
)
def test_toml_beyond_what_python_reads_is_refused(folder: Path, text: str, words: str) -> None:
    (folder / "job.toml").write_text(text)
    with pytest.raises(ProfileError, match=rf"job\.toml: {words}"):
        job_source(ProfileNames(), folder).job(())


def test_a_profile_name_longer_than_any_file_name_is_reported_as_missing(folder: Path) -> None:
    with pytest.raises(ProfileError, match="there is no profile 'long"):
        job_source(ProfileNames(cutter="long" * 100), folder).job(())


def test_a_light_sets_the_bracket_of_the_run_with_a_reason(folder: Path) -> None:
    # From 500 lx to 2000 lx +0.45 D would hold the brightness (CIECAM16); half of that, at most
    # 0.20, is the middle.
    job, notes = job_source(ProfileNames(light="2000 lx"), folder).job(())
    assert job.light_bracket == (0.0, 0.15, 0.2, 0.25)
    assert notes[-2].startswith(
        "light   2000 lx against editing-desk, 500 lx (assumed): The judging light is 2.0 stops"
    )
    assert notes[-1].startswith("name where you finish pictures in job.toml")


def test_the_job_file_says_where_pictures_are_finished(folder: Path) -> None:
    (folder / "job.toml").write_text('finished_under = "screen 120 cd/m2, room 50 lx"\n')
    job, notes = job_source(ProfileNames(light="500 lx"), folder).job(())
    assert notes[-1].startswith("light   500 lx against screen 120 cd/m², room 50 lx: The judging")
    assert job.light_bracket is not None
    on_desk = job_source(ProfileNames(light="500 lx"), folder.parent)
    assert job.light_bracket != on_desk.light_bracket


def test_a_screen_without_figures_in_the_job_file_is_refused(folder: Path) -> None:
    (folder / "job.toml").write_text('finished_under = "screen"\n')
    with pytest.raises(ProfileError, match="finished_under: 'screen' lacks a figure"):
        job_source(ProfileNames(light="500 lx"), folder).job(())


def test_without_a_light_there_is_no_bracket_from_one(folder: Path) -> None:
    assert job_source(ProfileNames(), folder).job(())[0].light_bracket is None


def test_the_job_file_may_name_the_light(folder: Path) -> None:
    (folder / "job.toml").write_text('light = "500 lx"\n')
    assert job_source(ProfileNames(), folder).job(())[0].light_bracket == (-0.05, 0.0, 0.05)


def test_a_damaged_icc_file_of_a_lab_stops_the_run_before_any_picture(folder: Path) -> None:
    # ICC.1: the signature 'acsp' is at byte 36 of a header of 128 bytes.
    labs = folder / "profiles" / "labs"
    labs.mkdir(parents=True)
    shipped = (Path(__file__).parents[2] / "profiles/labs/srgb-jpeg-300.toml").read_text()
    (labs / "own.toml").write_text(shipped.replace('"srgb"', '"paper.icc"'))
    (labs / "paper.icc").write_bytes(bytes(36) + b"acsp" + bytes(50))
    with pytest.raises(ProfileError, match=r"paper\.icc: this ICC profile cannot be used"):
        job_source(ProfileNames(lab="own"), folder).job(())


def test_pictures_may_stay_in_a_folder_that_the_job_names(tmp_path: Path) -> None:
    (tmp_path / "finished").mkdir()
    (tmp_path / "finished" / "pier.jpg").write_bytes(JPEG)
    (tmp_path / "autumn").mkdir()
    (tmp_path / "autumn" / "entries.csv").write_text("file\npier.jpg\n../secret.jpg\n")
    (tmp_path / "autumn" / "job.toml").write_text('pictures = "../finished"\n')
    inputs = read_inputs([tmp_path / "autumn"])
    first, second = inputs.table.entries
    assert [path.read_bytes() for path in inputs.pictures_of(first)] == [JPEG]
    # A row names a picture, never a way to it.
    assert [fault.code for fault in second.faults] == ["unsafe-path"]


def test_a_folder_of_pictures_that_is_not_there_is_refused(folder: Path) -> None:
    (folder / "job.toml").write_text('pictures = "../gone"\n')
    with pytest.raises(ProfileError, match=r"job\.toml: pictures: there is no folder") as caught:
        read_inputs([folder])
    assert caught.value.exit_code == 3
