"""The folder that a run writes to, and the record of each file that runs made there.

A run keeps the files that it would make in the same way again, replaces only files that are still
as recorded, moves those that it no longer makes to ``old/``, and stops if somebody has changed
one. The digest of a file is on the disk before the file gets its name, so the next run recognises
every file of a run that was killed.
"""

import contextlib
import os
import shutil
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from pathlib import Path
from typing import BinaryIO

from proofs.errors import WriteError
from proofs.outside.digest_cache import DigestCache, digest_cache, file_state_of
from proofs.outside.earlier_runs import (
    PARTS,
    EarlierRuns,
    earlier_runs,
    put_away,
    refuse_full_disk,
    refuse_names,
    unchanged,
)
from proofs.outside.files import sha256_of, sha256_of_bytes, write_whole, write_whole_by, writing
from proofs.outside.locks import locked
from proofs.outside.run_record import JOURNAL, append_to_journal, write_run_record
from proofs.plan.making.keeping import Counts, Keeping, keeping

_NOTHING: Mapping[str, str] = {}


class RunFolder:
    """A folder in use by one run, which puts files into it only once it has begun."""

    PARTS = PARTS
    """The subfolder in which workers write; a finished file is moved out of it by a rename."""

    def __init__(self, path: Path, own: str, earlier: EarlierRuns, digests: DigestCache) -> None:
        self.path = path
        self.counts = Counts()
        self._own = own
        self._earlier = earlier
        self._digests = digests
        self._known = {name: dict(known) for name, known in earlier.files.items()}
        self._pages: frozenset[str] = frozenset()
        self._made: dict[str, str] = {}
        self._recipes: dict[str, str] = {}
        self._results: dict[str, object] = {}
        self._has_begun = False

    @property
    def parts(self) -> Path:
        """The folder in which a worker writes a file under its name, before ``place``."""
        return self.path / self.PARTS

    @property
    def may_keep(self) -> bool:
        """Whether earlier runs left anything that this one may keep."""
        return bool(self._earlier.keys)

    def keeping(self, recipes: Mapping[str, str]) -> Keeping:
        """Return what there is of the files that the run makes, by their recipe keys."""
        return keeping(recipes, self._earlier.keys)

    def result(self, key: str) -> object:
        """Return the figures that an earlier run noted under a key, or None.

        What is asked for is noted for the next run too.
        """
        if key in self._earlier.results:
            self._results[key] = self._earlier.results[key]
        return self._results.get(key)

    def sha256(self, name: str) -> str:
        """Return the digest of a file that the run made or kept."""
        return self._made[name]

    def begin(
        self,
        names: Collection[str],
        recipes: Mapping[str, str] = _NOTHING,
        *,
        pages: str = "",
        about_bytes: int = 0,
    ) -> None:
        """Begin a run that will write these names, and keep what it would make again.

        ``pages`` is a subfolder whose files are known only once they are made. Files of earlier
        runs that this one neither makes nor keeps are moved to ``old/``. Raises ``WriteError``,
        before anything is written or moved, if it must not write a name or the disk has too little
        room.
        """
        refuse_full_disk(self.path, about_bytes)
        refuse_names(self.path, names, self._known)
        self._has_begun = True
        keeps = self.keeping(recipes)
        of_pages = {name for name in self._known if pages and name.startswith(f"{pages}/")}
        self._pages = frozenset(of_pages)
        shutil.rmtree(self.parts, ignore_errors=True)
        self._take(keeps)
        stays = of_pages.union(names)
        for name in sorted(set(self._known) - stays):
            put_away(self.path, name)
        self._known = {name: known for name, known in self._known.items() if name in stays}
        self._record_beginning()
        for name in sorted(keeps.in_place):
            self._keep(name, recipes[name])
        moved = {**keeps.copied, **keeps.renamed}
        self.place({n: self._earlier.found[before] for n, before in moved.items()}, recipes)
        self._count(made=-len(keeps.renamed), renamed=len(keeps.renamed))

    def keeps(self, name: str, key: str) -> bool:
        """Keep a file that was made by this recipe, and return whether there was one."""
        return self.keeps_all({name: key})

    def keeps_all(self, recipes: Mapping[str, str]) -> bool:
        """Keep files that were made by these recipes, a key by name, if there are all of them."""
        if self.keeping(recipes).in_place != recipes.keys():
            return False
        for name, key in recipes.items():
            self._keep(name, key)
        return True

    def write(
        self,
        name: str,
        content: bytes,
        key: str = "",
        results: Mapping[str, object] = _NOTHING,
    ) -> None:
        """Put a file into the folder; raise ``WriteError`` if another file has its name.

        A file that has this content already is kept, if anything may be. ``key`` is that of its
        recipe, ``results`` are as for ``place``.
        """
        sha256 = sha256_of_bytes(content)
        if not self._keeps_equal(name, sha256, key, results):
            write_whole(self.parts / name, content)
            self.place({name: sha256}, {name: key}, results)

    def write_by(self, name: str, fill: Callable[[BinaryIO], object], key: str) -> None:
        """Put a file into the folder as ``write`` does; ``fill`` writes it, piece by piece."""
        part = self.parts / name
        write_whole_by(part, fill)
        sha256 = sha256_of(part)
        if not self._keeps_equal(name, sha256, key):
            self.place({name: sha256}, {name: key})

    def _keeps_equal(
        self, name: str, sha256: str, key: str, results: Mapping[str, object] = _NOTHING
    ) -> bool:
        """Keep a file that has the content of one to write, and return whether there was one."""
        is_there = self._earlier.found.get(name) == sha256 and name in self._known
        if not is_there or not self.may_keep:
            return False
        unchanged(self.path / name, self._known[name], self._digests)
        if results or self._known[name].get(sha256) != key:
            append_to_journal(self.path, {name: sha256}, {name: key}, results)
        self._results.update(results)
        self._keep(name, key)
        return True

    def place(
        self,
        files: Mapping[str, str],
        recipes: Mapping[str, str] = _NOTHING,
        results: Mapping[str, object] = _NOTHING,
    ) -> None:
        """Move files that a worker wrote below ``parts`` to their places in the folder.

        ``files`` holds the digest of each by its name, ``recipes`` the key of its recipe if it has
        one, and ``results`` the figures measured on the way, by the keys of their own recipes.
        Raises ``WriteError`` if a file is there that no run made, or that has been changed.
        """
        append_to_journal(self.path, files, recipes, results)
        self._results.update(results)
        for name, sha256 in files.items():
            self._place(name, sha256, recipes.get(name, ""))
        self._count(made=len(files))

    def close(self) -> None:
        """Replace the journal by the record of all files that are there."""
        if not self._has_begun:
            return
        for name in sorted(self._pages - self._made.keys()):
            put_away(self.path, name)
        there = sorted(name for name in self._known if (self.path / name).is_file())
        files = {name: self._made.get(name) or self._as_found(name) for name in there}
        self._write_record(files, self._results)
        with writing(self.path):
            (self.path / JOURNAL).unlink(missing_ok=True)
        shutil.rmtree(self.parts, ignore_errors=True)

    def _take(self, keeps: Keeping) -> None:
        """Move files that get another name out of the way of all others."""
        for name, before in {**keeps.copied, **keeps.renamed}.items():
            part, source = self.parts / name, self.path / before
            with writing(part):
                part.parent.mkdir(parents=True, exist_ok=True)
                if name in keeps.renamed:
                    os.replace(source, part)
                else:  # never a link: whoever edits one of the two would change the other
                    shutil.copyfile(source, part)
            if name in keeps.copied and sha256_of(part) != self._earlier.found[before]:
                raise WriteError(f"{source}: was changed a moment ago; look at it, and start again")

    def _record_beginning(self) -> None:
        """Record what stays; after a run cut short, record and journal belong together."""
        if not (self.path / JOURNAL).exists():
            self._write_record({n: min(d) for n, d in self._known.items()}, self._earlier.results)

    def _write_record(self, files: Mapping[str, str], results: Mapping[str, object]) -> None:
        keys = {name: self._recipes.get(name, "") for name in files}
        keys = {n: key or self._known[n].get(files[n], "") for n, key in keys.items()}
        write_run_record(self.path, self._own, files, keys, results)

    def _count(self, *, made: int = 0, kept: int = 0, renamed: int = 0) -> None:
        now = self.counts
        self.counts = Counts(now.made + made, now.kept + kept, now.renamed + renamed)

    def _keep(self, name: str, key: str) -> None:
        self._made[name], self._recipes[name] = self._earlier.found[name], key
        self._count(kept=1)

    def _place(self, name: str, sha256: str, key: str) -> None:
        target = self.path / name
        if os.path.lexists(target):
            unchanged(target, self._known.get(name), self._digests)
        self._known.setdefault(name, {})[sha256] = key
        with writing(target):
            target.parent.mkdir(parents=True, exist_ok=True)
            os.replace(self.parts / name, target)
        self._digests.learn(target, file_state_of(target), sha256)
        self._made[name], self._recipes[name] = sha256, key

    def _as_found(self, name: str) -> str:
        """The digest to record for a file of an earlier run."""
        known = self._known[name]
        found = self._digests.sha256_of(self.path / name)
        return found if found in known or "" in known else min(known)


@contextlib.contextmanager
def opened_folder(
    path: Path, *, own: str, sources: Iterable[Path], again: bool = False
) -> Iterator[RunFolder]:
    """Open the folder of a run, which ``RunFolder.begin`` starts, and record it in the end.

    ``own`` is a file that every run of this command writes, ``sources`` are the pictures that
    the run reads; with ``again`` nothing of earlier runs is kept. Raises ``WriteError`` if the run
    must not use the folder.
    """
    with locked(path), digest_cache(path, again=again) as digests:
        earlier = earlier_runs(path, own, sources, digests, again=again)
        folder = RunFolder(path, own, earlier, digests)
        try:
            yield folder
        finally:
            folder.close()


@contextlib.contextmanager
def run_folder(
    path: Path,
    *,
    own: str,
    names: Collection[str],
    sources: Iterable[Path],
    pages: str = "",
    about_bytes: int = 0,
) -> Iterator[RunFolder]:
    """Open the folder of a run that will write these names, and begin it at once."""
    with opened_folder(path, own=own, sources=sources) as folder:
        folder.begin(names, pages=pages, about_bytes=about_bytes)
        yield folder
