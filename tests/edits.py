"""A folder of pictures that is edited at random, and runs on it: one that may keep, one afresh."""

import contextlib
import os
import random
import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from unittest import mock

from proofs.outside.run_folder import RunFolder
from tests.assault.processes import contents
from tests.command import Said, gradient, in_process, write_entries
from tests.labs import write_labs, write_screen_rules

MOUNT = """
title = "A small mount"
source = "made up"
board = "{board}"

[window]
kind = "{kind}"
{window}

[mat]
thickness = "1.4 mm"
colour = "{colour}"

[backing]
thickness = "3/16 in"
"""
COLUMNS = ("number", "title", "file", "size", "bracket", "chosen", "mount", "category", "look_at")
_OLD = "old/"


class Killed(BaseException):
    """The end of a process, for code that cannot tell."""


@dataclass(slots=True)
class Workshop:
    """Three pictures on small boards, the options of a command, and the folder it writes."""

    top: Path
    command: str
    rng: random.Random
    rows: list[dict[str, str]] = field(default_factory=list)
    options: dict[str, tuple[str, ...]] = field(default_factory=dict)
    runs: int = 0

    @property
    def pictures(self) -> Path:
        """The folder of the pictures."""
        return self.top / "pictures"

    @property
    def out(self) -> Path:
        """The folder of the runs that may keep."""
        return self.top / "out"

    def set_up(self) -> None:
        """Write pictures, entries and profiles."""
        self.pictures.mkdir(parents=True)
        write_labs(self.pictures)
        write_screen_rules(self.pictures)
        mounts = self.pictures / "profiles" / "mounts"
        mounts.mkdir()
        for name, board, kind, window, colour in (
            ("plain", "5x7 in", "overlap", 'overlap = "1/8 in"', "white"),
            ("dark", "5x7 in", "overlap", 'overlap = "1/8 in"', "black"),
            ("wide", "6x8 in", "reveal", 'reveal = "1/4 in"\nhold = "1/4 in"', "white"),
        ):
            words = MOUNT.format(board=board, kind=kind, window=window, colour=colour)
            (mounts / f"{name}.toml").write_text(words, encoding="utf-8")
        for n, name in enumerate("abc", 1):
            gradient(self.pictures / f"{name}.jpg", 240, 160, seed=n)
            cells = (str(n), f"Pier {name}", f"{name}.jpg", "long 3 in", "0; +0.10", "A")
            self.rows.append(dict(zip(COLUMNS, (*cells, "plain", "Sea", ""), strict=True)))
        self.options = {"mount": ("--mount", "plain"), "lab": ("--lab", "small")}
        self.options["rules"] = ("--rules", "none")
        self.write()

    def write(self) -> None:
        """Write the entries file."""
        lines = (",".join(row[column] for column in COLUMNS) for row in self.rows)
        write_entries(self.pictures, ",".join(COLUMNS), *lines)

    def words(self, out: Path) -> list[str]:
        """Return the command line of a run."""
        options = [word for words in self.options.values() for word in words]
        return [self.command, str(self.pictures), "--out", str(out), *options]

    def run(self) -> Said:
        """Run the command in its folder."""
        return in_process(*self.words(self.out))

    def faults(self) -> list[str]:
        """Return how a run here differs from a fresh one elsewhere: in words, or in a file."""
        self.runs += 1
        fresh = self.top / f"fresh-{self.runs}"
        said, expected = self.run(), in_process(*self.words(fresh))
        here, there = _words(said, self.out), _words(expected, fresh)
        found = [f"words differ: {here!r} {there!r}"] if here != there else []
        made = {n: c for n, c in contents(self.out).items() if not n.startswith(_OLD)}
        wanted = contents(fresh)
        found += [f"{name}: missing" for name in wanted.keys() - made.keys()]
        found += [f"{name}: should not be there" for name in made.keys() - wanted.keys()]
        found += [f"{n}: differs" for n in made.keys() & wanted.keys() if made[n] != wanted[n]]
        shutil.rmtree(fresh, ignore_errors=True)
        return found


def _words(said: Said, out: Path) -> tuple[int, str, str]:
    """What a run said, but for the name of its folder and what it kept."""
    text = re.sub(r"(?m)^files: .*$", "", said.out.replace(str(out), "OUT"))
    return said.code, text, said.err.replace(str(out), "OUT")


def faults_after_edits(shop: Workshop, count: int) -> list[str]:
    """Return the faults of runs after each of ``count`` random edits, with what was done."""
    shop.set_up()
    found = [f"first: {fault}" for fault in shop.faults()]
    done = []
    for _ in range(count):
        edit = shop.rng.choice(EDITS)
        edit(shop)
        done.append(edit.__name__)
        found += [f"{', '.join(done)}: {fault}" for fault in shop.faults()]
    return found


def change_picture(shop: Workshop) -> None:
    """Other content of the same size, under the same time as before."""
    path = shop.pictures / shop.rng.choice(["a.jpg", "b.jpg", "c.jpg"])
    before = path.stat()
    gradient(path, 240, 160, seed=shop.rng.randrange(1000))
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


def change_a_byte(shop: Workshop) -> None:
    """One byte more after the end of the picture, which no reader minds."""
    path = shop.pictures / "a.jpg"
    path.write_bytes(path.read_bytes() + bytes([shop.rng.randrange(256)]))


def touch(shop: Workshop) -> None:
    """Another time alone."""
    os.utime(shop.pictures / "b.jpg")


def set_cell(column: str, *values: str) -> Callable[[Workshop], None]:
    """Return an edit that writes one of these values into a random row."""

    def edit(shop: Workshop) -> None:
        shop.rng.choice(shop.rows)[column] = shop.rng.choice(values)
        shop.write()

    edit.__name__ = column
    return edit


def set_option(name: str, *values: tuple[str, ...]) -> Callable[[Workshop], None]:
    """Return an edit that takes one of these ways to write an option."""

    def edit(shop: Workshop) -> None:
        shop.options[name] = shop.rng.choice(values)

    edit.__name__ = " ".join(map(" ".join, values))
    return edit


def set_sharpening(shop: Workshop) -> None:
    """Another sharpening; ``mount`` makes nothing that could be sharpened."""
    if shop.command != "mount":
        shop.options["sharpen"] = shop.rng.choice([(), ("--sharpen", "standard")])


def set_variants(shop: Workshop) -> None:
    """Ask for every step at full size, or no longer: only ``make`` can."""
    if shop.command == "make":
        shop.options["variants"] = shop.rng.choice([("--variants",), ()])


def set_lines(shop: Workshop) -> None:
    """Another copyright line, or more or less of the pictures' own: where files state any."""
    if shop.command in ("make", "deliver"):
        ways = [(), ("--copyright", "(c) 2026 A. Maker"), ("--keep-copyright",)]
        shop.options["lines"] = shop.rng.choice(ways)


def swap_numbers(shop: Workshop) -> None:
    """Two entries that change numbers, and so the names of their files."""
    one, other = shop.rng.sample(shop.rows, 2)
    one["number"], other["number"] = other["number"], one["number"]
    shop.write()


def swap_files(shop: Workshop) -> None:
    """Two entries that change pictures."""
    one, other = shop.rng.sample(shop.rows, 2)
    one["file"], other["file"] = other["file"], one["file"]
    shop.write()


def delete_a_file(shop: Workshop) -> None:
    """A file of an earlier run that is gone; of a delivery all, or the next run refuses it."""
    files = [n for n in contents(shop.out) if not n.startswith((_OLD, "proofs-run"))]
    if shop.command == "deliver":
        shutil.rmtree(shop.out)
    else:
        (shop.out / shop.rng.choice(files)).unlink()


def edit_a_file(shop: Workshop) -> None:
    """A file of an earlier run that somebody edits: the run refuses it until it is moved away."""
    files = [n for n in contents(shop.out) if not n.startswith((_OLD, "proofs-run"))]
    path = shop.out / shop.rng.choice([name for name in files if name != "SHA256SUMS"])
    with path.open("r+b") as file:
        file.seek(40)
        byte = file.read(1)[0]
        file.seek(40)
        file.write(bytes([byte ^ 1]))
    said = shop.run()
    assert said.code == 5, said
    path.unlink()
    if shop.command == "deliver":
        shutil.rmtree(shop.out)


def forget(shop: Workshop) -> None:
    """A cache that somebody deletes."""
    shutil.rmtree(Path(os.environ["XDG_CACHE_HOME"]) / "proofs", ignore_errors=True)


def kill(shop: Workshop) -> None:
    """A run on a changed picture that is killed after it has put some files in their places."""
    change_picture(shop)
    with killed_after(shop.rng.randrange(4)), contextlib.suppress(Killed):
        shop.run()


@contextlib.contextmanager
def killed_after(count: int) -> Iterator[None]:
    """Let runs end as if they were killed once they have placed files ``count`` times."""
    place, left = RunFolder.place, [count]

    def placing(folder: RunFolder, *files: object, **more: object) -> None:
        left[0] -= 1
        if left[0] < 0:
            raise Killed
        place(folder, *files, **more)  # type: ignore[arg-type]  # passed on

    with (
        mock.patch.object(RunFolder, "place", placing),
        mock.patch.object(RunFolder, "close"),
    ):
        yield


EDITS: tuple[Callable[[Workshop], None], ...] = (
    *(change_picture, change_a_byte, touch, swap_numbers, swap_files),
    *(delete_a_file, edit_a_file, forget, kill, set_variants, set_sharpening),
    set_lines,
    set_cell("chosen", "A", "B", "+0.05"),
    set_cell("mount", "plain", "dark", "wide"),
    set_cell("title", "Pier a", "Harbour", "Sand"),
    set_cell("size", "long 3 in", "long 3.5 in", "opening 2 x 2 1/4 in"),
    set_cell("category", "Sea", "Land"),
    set_option("lab", ("--lab", "small"), ("--lab", "small-tiff")),
    set_option("rules", ("--rules", "none"), ("--rules", "screen")),
)
