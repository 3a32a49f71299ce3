"""Standard output and standard error that never stop a run."""

import io
import os
import sys
from typing import TextIO

_LAST_STREAM = 2  # standard error


class _Lenient(io.RawIOBase):
    """A stream that drops what is written if it cannot be delivered.

    The reader may have closed the pipe, or the disk may be full: the run goes on.
    """

    def __init__(self, stream: io.RawIOBase) -> None:
        self._stream = stream

    def writable(self) -> bool:
        return True

    def isatty(self) -> bool:
        return self._stream.isatty()

    def fileno(self) -> int:
        return self._stream.fileno()

    def write(self, content: "bytes | memoryview | bytearray") -> int:  # type: ignore[override]  # any buffer
        try:
            return self._stream.write(content) or 0
        except (OSError, ValueError):
            return len(content)

    def close(self) -> None:
        """Leave the stream itself open: the interpreter closes it."""


def use_lenient_streams() -> None:
    """Let both streams drop what cannot be delivered, and replace what cannot be encoded."""
    _occupy_closed_streams()
    sys.stdout = _lenient(sys.stdout)
    sys.stderr = _lenient(sys.stderr)


def _occupy_closed_streams() -> None:
    """Open placeholders, so that no file of the run gets the number of a closed stream."""
    while (number := os.open(os.devnull, os.O_RDWR)) <= _LAST_STREAM:
        pass
    os.close(number)


def _lenient(stream: TextIO | None) -> TextIO:
    if stream is None:  # it was closed before the program began
        return open(os.devnull, "w", encoding="utf-8")
    buffer = getattr(stream, "buffer", None)
    raw = getattr(buffer, "raw", buffer)  # unbuffered streams have one layer less
    if not isinstance(stream, io.TextIOWrapper) or not isinstance(raw, io.RawIOBase):
        return stream  # not a real stream, such as one that a test uses
    lenient = _Lenient(raw)
    return io.TextIOWrapper(
        lenient if raw is buffer else io.BufferedWriter(lenient),  # type: ignore[type-var]  # it writes
        encoding=stream.encoding,
        errors="replace",
        line_buffering=stream.line_buffering,
        write_through=stream.write_through,
    )
