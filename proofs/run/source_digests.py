"""The digests of the pictures of a run, read as seldom as possible."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.digest_cache import DigestCache, FileState, digest_cache, file_state_of


class SourceDigests:
    """The SHA-256 of picture files, known from earlier runs or learnt from workers."""

    def __init__(self, cache: DigestCache, *, reads: bool) -> None:
        self._cache = cache
        self._reads = reads
        self._states: dict[Path, FileState | None] = {}

    def of(self, sources: Sequence[Path]) -> tuple[str, ...]:
        """Return the digests of these files, in order; nothing unless all of them are known.

        Unless the run ``reads`` them, a file that no earlier run has read is not known: where
        nothing can be kept, a worker will read it anyway.
        """
        found = [self._of(path) for path in sources]
        known = tuple(digest for digest in found if digest)
        return known if len(known) == len(found) else ()

    def _of(self, path: Path) -> str | None:
        self._states[path] = file_state_of(path)
        if not self._reads:
            return self._cache.known(path)
        try:
            return self._cache.sha256_of(path)
        except WriteError:  # it has gone, or cannot be read any more: the worker says so
            return None

    def learn(self, sources: Sequence[Path], digests: Sequence[str]) -> None:
        """Note the digests of what a worker read, unless a file has changed since ``of``."""
        for path, sha256 in zip(sources, digests, strict=True):
            self._cache.learn(path, self._states.get(path), sha256)

    def forget(self, sources: Sequence[Path]) -> None:
        """Forget the digests of files that were not what they seemed to be."""
        for path in sources:
            self._cache.forget(path)


@contextmanager
def source_digests(folder: Path, *, reads: bool, again: bool) -> Iterator[SourceDigests]:
    """Yield the digests of the pictures in a folder, and keep them for the next run.

    With ``again`` nothing that earlier runs noted counts.
    """
    with digest_cache(folder, again=again) as cache:
        yield SourceDigests(cache, reads=reads)
