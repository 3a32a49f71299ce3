"""The line of each key of a TOML text, which the reader of TOML does not give."""

import bisect
import re
from dataclasses import dataclass, field

from proofs.records.faults import outer

_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}|' + r"'''.*?'{3,5}|" + r'"(?:[^"\\]|\\.)*"|' + r"'[^']*'", re.S
)
_ESCAPE = re.compile(r"\\(?:u([0-9a-fA-F]{4})|U([0-9a-fA-F]{8})|(.))")
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}


def line_of(path: str, lines: dict[str, int]) -> int:
    """Return the line of a key, or of the nearest table around it that has one.

    >>> line_of("window.overlap", {"window": 4}), line_of("title", {"window": 4})
    (4, 1)
    """
    while path and path not in lines:
        path = outer(path)
    return lines.get(path, 1)


def key_lines(text: str) -> dict[str, int]:
    """Return the line of each key and heading of a text that is TOML, by its path.

    Paths are those of ``records/tables.Table``: of the tables under one heading in double brackets,
    the first is ``border[1]``. Keys in braces have no line of their own.
    """
    scan = _Scan(text, [end.start() for end in re.finditer("\n", text)])
    while scan.skip(_BLANK) < len(text):
        if text[scan.at] == "[":
            scan.heading()
        else:
            scan.statement()
    return scan.lines


@dataclass(slots=True)
class _Scan:
    """A place in a text, the table that is open there, and the lines of the keys so far."""

    text: str
    ends: list[int]  # of the lines
    at: int = 0
    table: str = ""
    lines: dict[str, int] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)

    def skip(self, what: re.Pattern[str]) -> int:
        """Go on behind what is there, if it is there, and return the place."""
        found = what.match(self.text, self.at)
        self.at = found.end() if found else self.at
        return self.at

    def heading(self) -> None:
        """Open the table of a heading; each in double brackets is one more of its list."""
        line, is_list = self._line(), self.text.startswith("[[", self.at)
        self.at += 2 if is_list else 1
        *parents, last = self._key()
        path = ""
        for part in parents:
            path = self._noted(path, part, line)
            path += f"[{self.counts[path]}]" if path in self.counts else ""
        path = self._noted(path, last, line)
        if is_list:
            self.counts[path] = self.counts.get(path, 0) + 1
            path += f"[{self.counts[path]}]"
            self.lines[path] = line
        self.table = path
        self.at += 2 if is_list else 1

    def statement(self) -> None:
        """Note the line of a key, and of the tables that its dots name; skip its value."""
        line, path = self._line(), self.table
        for part in self._key():
            path = self._noted(path, part, line)
        self.at += 1  # the equals sign
        depth = 0
        while self.at < len(self.text):
            start = self.text[self.at]
            if start in "\"'":
                self.skip(_STRING)
            elif start == "#":
                self.skip(_BLANK)
                if not depth:
                    return
            elif start == "\n" and not depth:
                return
            else:
                depth += (start in "[{") - (start in "]}")
                self.at += 1

    def _noted(self, path: str, part: str, line: int) -> str:
        path = f"{path}.{part}" if path else part
        self.lines.setdefault(path, line)
        return path

    def _key(self) -> list[str]:
        """The parts of a key with dots, and go on behind it."""
        parts: list[str] = []
        while not parts or self.text.startswith(".", self.at):
            self.at += 1 if parts else 0
            start = self.skip(_SPACE)
            quoted = self.text[start] in "\"'"
            end = self.skip(_STRING if quoted else _BARE)
            parts.append(_plain(self.text[start:end]) if quoted else self.text[start:end])
            self.skip(_SPACE)
        return parts

    def _line(self) -> int:
        return bisect.bisect_left(self.ends, self.at) + 1


def _plain(quoted: str) -> str:
    """The key that is meant by one in quotes."""
    if quoted[0] == "'":
        return quoted[1:-1]
    return _ESCAPE.sub(_unescaped, quoted[1:-1])


def _unescaped(found: re.Match[str]) -> str:
    code = found[1] or found[2]
    return chr(int(code, 16)) if code else _ESCAPED.get(found[3], found[0])
