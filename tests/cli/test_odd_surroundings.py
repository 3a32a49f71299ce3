"""The program in odd surroundings: each ends with its own exit code and a sentence.

What the system does at its limits is read off the system itself: pipes, devices, limits of
``setrlimit``, and a working directory that has been deleted.
"""

import errno
import json
import os
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.command import Said, gradient, in_process, write_entries

pytestmark = pytest.mark.skipif(os.name == "nt", reason="pipes and limits are others there")
WORDS = [sys.executable, "-W", "error", "-m", "proofs"]
NO_RULES = ("--rules", "none")
DELIVER = ("deliver", ".", *NO_RULES, "--lab", "srgb-jpeg-300", "--density", "0")
SetUp = Callable[[], None]
LONG = "x" * 300
HOSTILE = "a\x1b[2J\u202egpj\u2066\u200f\x9b"
RAW = set(HOSTILE) - set("a[2Jgpj")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    path = tmp_path / "pictures"
    path.mkdir()
    gradient(path / "a.jpg", 600, 400)
    write_entries(path, "file,title,size", "a.jpg,Old pier,long 5 in")
    return path


@pytest.fixture
def pipe(tmp_path: Path) -> Path:
    os.mkfifo(tmp_path / "pipe")
    return tmp_path / "pipe"


def run(
    *arguments: str | bytes | Path, cwd: Path, before: Callable[[], None] | None = None
) -> Said:
    """Run the program, after a change to the surroundings of its process."""
    words = [*WORDS, *map(os.fsdecode, arguments)]
    environment = os.environ | {"PYTHONPATH": str(Path(__file__).parents[2])}
    done = subprocess.run(
        words, cwd=cwd, env=environment, preexec_fn=before, capture_output=True, timeout=120
    )
    return Said(done.returncode, done.stdout.decode(), done.stderr.decode())


def test_a_pipe_is_refused_wherever_a_file_is_named(folder: Path, pipe: Path) -> None:
    codes = {
        "measure": in_process("measure", pipe).code,
        "strip-read": in_process("strip-read", pipe).code,
        "light": in_process("light", "--card", pipe).code,
        "font": in_process("check", folder, "--font", pipe).code,
        "profiles": in_process("check", folder, "--profiles", pipe).code,
        "readings": in_process("arrived", folder, "--from", pipe).code,
        "entries": in_process("check", pipe).code,
        "choose": in_process("choose", pipe, "1", "0").code,
        "verify": in_process("verify", pipe).code,
        "make": in_process("make", folder, *NO_RULES, "--out", pipe).code,
        "mount": in_process("mount", folder, *NO_RULES, "--out", pipe).code,
    }
    assert codes == {
        **{"measure": 4, "strip-read": 4, "light": 4, "font": 2, "profiles": 3, "readings": 3},
        **{"entries": 3, "choose": 3, "verify": 2, "make": 5, "mount": 5},
    }


@pytest.mark.parametrize("name", ["job.toml", "entries.csv", "arrived.csv"])
def test_a_pipe_in_place_of_a_file_of_the_user_is_refused(folder: Path, name: str) -> None:
    (folder / name).unlink(missing_ok=True)
    os.mkfifo(folder / name)
    said = in_process("arrived", folder, "1", "5x4 in")
    assert said.code == 3
    assert f"{name}: is not a file" in said.err


@pytest.mark.parametrize("name", ["proofs-run.journal", ".proofs-parts", "mockups", "old"])
def test_a_pipe_in_a_run_folder_is_refused_before_anything_is_made(folder: Path, name: str) -> None:
    out = folder.parent / "out"
    out.mkdir()
    (out / "proofs-run.json").write_text('{"schema": 1, "files": {"proof-sheet.pdf": "x"}}')
    os.mkfifo(out / name)
    said = in_process("make", folder, *NO_RULES, "--out", out)
    assert said.code == 5
    assert f"{name}: is not a fo" in said.err or f"{name}: is not a file" in said.err
    assert not (out / "report.json").exists()


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("check", LONG), 3),
        (("check", ".", "--rules", LONG), 3),
        (("check", ".", "--light", LONG), 3),
        (("make", ".", "--out", LONG), 5),
        ((*DELIVER, "--out", LONG), 5),
        (("choose", LONG, "1", "0"), 3),
        (("verify", LONG), 2),
        (("measure", LONG), 4),
        (("strip-read", LONG), 4),
    ],
)
def test_a_name_of_300_letters_is_no_fault(
    folder: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], code: int
) -> None:
    monkeypatch.chdir(folder)
    said = in_process(*arguments)
    assert said.code == code
    assert "fault of the program" not in said.out + said.err


def test_a_picture_whose_name_is_no_text_is_named_and_costs_no_other_its_print(
    folder: Path,
) -> None:
    (folder / "entries.csv").unlink()
    (folder / os.fsdecode(b"b\xe9.jpg")).write_bytes((folder / "a.jpg").read_bytes())
    out = folder.parent / "out"
    said = in_process("make", folder, *NO_RULES, "--out", out)
    assert said.code == 3
    assert "the file name 'b\\udce9.jpg' is not text in UTF-8" in said.out
    entries = json.loads((out / "report.json").read_bytes())["entries"]
    assert [entry["status"] for entry in entries] == ["met", "not-understood"]


def test_an_option_that_is_no_text_is_refused(folder: Path) -> None:
    out = ("--lab", "srgb-jpeg-300", "--density", "0", "--out", "out")
    said = run("deliver", ".", *out, "--copyright", b"\xff", cwd=folder)
    assert said.code == 2
    assert "copyright: '\\udcff' is not text in UTF-8" in said.err


@pytest.mark.parametrize(
    "content", ["x = " + "[" * 5000, "x = " + "9" * 5000, "x = 0x" + "f" * 5000, "x = '\0'"]
)
def test_a_job_file_of_any_depth_or_length_is_refused_in_words(folder: Path, content: str) -> None:
    (folder / "job.toml").write_text(content)
    said = in_process("check", folder)
    assert said.code == 3
    assert "job.toml: " in said.err


@pytest.mark.parametrize(
    "value", ['"' + "9" * 4000 + ' in"', '"1/' + "9" * 4000 + ' in"', "0x" + "f" * 5000]
)
def test_a_profile_with_a_number_of_thousands_of_digits_is_refused(
    folder: Path, value: str
) -> None:
    shipped = (Path(__file__).parents[2] / "profiles/cutters/hand.toml").read_text()
    own = folder / "profiles/cutters"
    own.mkdir(parents=True)
    (own / "mine.toml").write_text(shipped.replace('placing = "', f'placing = {value} # "'))
    said = in_process("check", folder, "--cutter", "mine")
    assert said.code == 3
    assert "mine.toml" in said.err


@pytest.mark.parametrize("record", ["[" * 5000, '{"files":' * 5000, "9" * 5000, "\0"])
def test_a_run_record_that_is_nested_or_no_record_is_called_damaged(
    folder: Path, record: str
) -> None:
    out = folder.parent / "out"
    out.mkdir()
    (out / "proofs-run.json").write_text(record)
    said = in_process("make", folder, *NO_RULES, "--out", out)
    assert said.code == 5
    assert "proofs-run.json: is damaged" in said.err


def test_a_working_directory_that_was_deleted_is_named(tmp_path: Path) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    said = run("check", ".", cwd=gone, before=lambda: os.rmdir(gone))
    assert said.code == 5
    assert "the folder that you work in is not there any more" in said.err


@pytest.mark.parametrize("kib", [1, 100])
def test_a_limit_on_the_size_of_files_ends_with_5(folder: Path, kib: int) -> None:
    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (kib * 1024, kib * 1024))

    said = run("make", ".", *NO_RULES, "--out", "../out", cwd=folder, before=limit)
    assert said.code == 5
    assert "cannot be written: File too large" in said.out + said.err


def test_a_limit_on_open_files_is_named(folder: Path) -> None:
    gradient(folder / "b.jpg", 600, 400)
    (folder / "entries.csv").unlink()

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_NOFILE, (8, 8))

    said = run("make", ".", *NO_RULES, "--out", "../out", cwd=folder, before=limit)
    assert said.code == 5
    assert "too many files are open at once" in said.err


def raw_characters(said: Said) -> set[str]:
    return RAW & set(said.out + said.err)


def test_nothing_from_a_file_steers_the_terminal(folder: Path) -> None:
    (folder / f"{HOSTILE}.jpg").write_bytes((folder / "a.jpg").read_bytes())
    own = folder / "profiles/lights"
    own.mkdir(parents=True)
    (own / "odd.toml").write_text('title = "\\u001b[2J\\u202e"\nlux = 100\nsource = "made up"\n')
    write_entries(
        folder, "file,title,size,notes", f"{HOSTILE}.jpg,Old \u202epier\u2066,{HOSTILE},{HOSTILE}"
    )
    said = [
        in_process("check", folder),
        in_process("check", folder, "--json"),
        in_process("check", folder, "--rules", HOSTILE),
        in_process("choose", folder, "1", HOSTILE),
        in_process("measure", folder / f"{HOSTILE}.jpg"),
        in_process("measure", folder / f"{HOSTILE}.jpg", "--json"),
        in_process("profiles", "lights", "--profiles", folder / "profiles"),
        in_process("profiles", "lights", "odd", "--profiles", folder / "profiles"),
        in_process("manual", HOSTILE),
        in_process(HOSTILE),
        in_process("verify", HOSTILE),
        in_process("light", "odd", "--profiles", folder / "profiles"),
    ]
    assert [raw_characters(each) for each in said] == [set()] * len(said)
    assert "\\u202e" in said[0].out


def test_json_that_is_printed_keeps_the_values(folder: Path) -> None:
    write_entries(folder, "file,title,size", "a.jpg,Old \u202epier,long 5 in")
    said = in_process("check", folder, *NO_RULES, "--json")
    assert "\u202e" not in said.out
    assert json.loads(said.out)["entries"][0]["title"] == "Old \u202epier"


@pytest.mark.parametrize("named", ["../../../outside.icc", "/etc/hostname", "link.icc", "pipe.icc"])
def test_the_icc_profile_of_a_lab_stays_in_the_folder_of_its_profile(
    folder: Path, named: str
) -> None:
    shipped = (Path(__file__).parents[2] / "profiles/labs/srgb-jpeg-300.toml").read_text()
    own = folder / "profiles/labs"
    own.mkdir(parents=True)
    (folder.parent / "outside.icc").write_bytes(b"")
    (own / "link.icc").symlink_to(folder.parent / "outside.icc")
    os.mkfifo(own / "pipe.icc")
    (own / "mine.toml").write_text(shipped.replace('profile = "srgb"', f'profile = "{named}"'))
    said = in_process("check", folder, "--lab", "mine")
    assert said.code == 3
    assert f"mine.toml: colour.profile: '{named}' is " in said.err


MOUNTS = shutil.which("unshare") or ""
WITHOUT_SHARED_MEMORY = 'mount -t tmpfs -o ro none /dev/shm && exec "$@"'


@pytest.mark.skipif(not MOUNTS, reason="no folder can be taken away from one process there")
def test_without_shared_memory_pictures_are_made_one_after_the_other(folder: Path) -> None:
    apart = [MOUNTS, "--mount", *([] if os.geteuid() == 0 else ["--map-root-user"]), "sh", "-c"]
    words = [*apart, WITHOUT_SHARED_MEMORY, "sh", *WORDS, "make", ".", *NO_RULES, "--out", "../out"]
    if subprocess.run([*apart, WITHOUT_SHARED_MEMORY, "sh", "true"], check=False).returncode:
        pytest.skip("this user may mount nothing")
    gradient(folder / "b.jpg", 600, 400)
    (folder / "entries.csv").unlink()
    done = subprocess.run(words, cwd=folder, capture_output=True, timeout=120, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert len(list((folder.parent / "out/prints").iterdir())) == 2


@pytest.mark.parametrize("error", [OSError(errno.ENOSYS, "no"), ImportError("no semaphores")])
def test_without_locks_that_processes_share_pictures_are_made_too(
    folder: Path, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def lacking(*_: object, **__: object) -> None:
        raise error

    # Where the system refuses it: this is what a spawning context asks first.
    monkeypatch.setattr("multiprocessing.synchronize.Lock.__init__", lacking)
    gradient(folder / "b.jpg", 600, 400)
    (folder / "entries.csv").unlink()
    assert in_process("make", folder, *NO_RULES, "--out", folder.parent / "out").code == 0


@pytest.mark.parametrize("named", ["nowhere", "pictures/a.jpg"])
def test_a_folder_for_temporary_files_that_is_none_is_replaced_by_that_of_the_system(
    folder: Path, named: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TMPDIR", str(folder.parent / named))
    said = run("make", ".", *NO_RULES, "--out", "../out", cwd=folder)
    assert (said.code, said.err) == (0, "")


NO_TEMPORARY_FOLDER = """
import sys, tempfile
place = sys.argv.pop(1)
tempfile._candidate_tempdir_list = lambda: [place]
from proofs.cli.main import main
main()
"""


@pytest.mark.parametrize(
    "arguments",
    [
        ("make", ".", *NO_RULES, "--out", "../out"),
        ("strip", ".", *NO_RULES, "--out", "../out"),
        (*DELIVER, "--out", "../out"),
        ("measure", "a.jpg"),
    ],
)
@pytest.mark.parametrize("place", ["/nowhere", "/sys"])  # missing; read-only, even for root
def test_without_any_folder_for_temporary_files_the_code_is_5_and_words_name_tmpdir(
    folder: Path, arguments: tuple[str, ...], place: str
) -> None:
    words = [sys.executable, "-W", "error", "-c", NO_TEMPORARY_FOLDER, place, *arguments]
    environment = os.environ | {"PYTHONPATH": str(Path(__file__).parents[2])}
    done = subprocess.run(
        words, cwd=folder, env=environment, capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 5
    assert "no folder for temporary files can be written to" in done.stdout + done.stderr
    assert "name one in TMPDIR" in done.stdout + done.stderr
    assert "Traceback" not in done.stderr
