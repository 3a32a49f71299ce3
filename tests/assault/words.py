"""Plausible and senseless cells, TOML values and tables, as people and programs write them."""

import re
from collections.abc import Callable, Sequence
from random import Random

from proofs.records.columns import COLUMNS
from proofs.records.ruler_readings import READING_COLUMNS
from proofs.records.shelf import SHELF_COLUMNS
from proofs.records.spotted import SPOTTED_COLUMNS

UNITS = ("in", "mm", "cm", "m", "px", "ft", '"', "″", "inch", "inches", "MM", "pt", "lx", "")
DIGITS = ("0123456789", "٠١٢٣٤٥٦٧٨٩", "०१२३४५६७८९", "０１２３４５６７８９", "²³¹⁰⁴", "①②③")
FRACTIONS = ("1/2", "3/16", "1/0", "0/1", "1/3", "½", "⅜", "1 1/2", "7/1000000000", "-1/2", "1//2")
HUGE = ("1" + "0" * 30, "9" * 400, "7" * 5000, "1e308", "1e999", "-1e999", "1e-999", "nan", "inf")
SMALL = ("0", "-0", "0.1", "1", "2", "3", "10", "12", "8", "16", "20", "40.5", "12,5", "1.000,5")
CONTROLS = ("\0", "\x07", "\x1b[2J", "\x7f", "\u202e", "\u200b", "\ufeff", "\u00a0", "\u2028", "\t")
LETTERS = (
    "x",
    "Ångström",
    "Вид",
    "الظل",
    "風",
    "👩‍🎨",
    "\U0010ffff",
    "ﬁ",
    "İ",
    "ß",
    "a\u0301" * 50,
)
SYMBOLS = ('"', "'", ";", ",", "|", "\\", "/", "..", "%s", "{0}", "$(x)", "`", "<b>", "=1+1", "#")
PLAIN = {
    "number": ("1", "2", "01", "1a", "A-7", "٣", "-1", "1.0", "1 2"),
    "title": ("Old pier", "Pier: dawn", "", "=cmd|x", "a" * 300),
    "file": ("a.jpg", "b.jpg", "a.jpg | b.jpg", "A.JPG", "../a.jpg", "/etc/passwd", "a.jpg|", "d"),
    "category": ("Open colour", "Monochrome", "nature", ""),
    "size": (
        *("12x8 in", "long 10 in", "short 20 cm", "10 1/4 x 8 in", "30×20 cm", "wide 1 m"),
        *("print 8x10 in", "print 3x2 in", "sheet 8x10 in", "sheet 1 in"),
        *("12x8", "x", "long in", "0x0 in", "-1x2 in", "1x1000000 mm", "1/0 x 2 in", "max"),
    ),
    "crop": ("4x5 centre", "1:1", "4x5 left", "0:1", "4x5 10 %", "16:9 top", "1e9:1", "4x5"),
    "board": ("portrait", "landscape", "Portrait", "potrait", "square"),
    "top_edge": ("right", "left", "top", "bottom", "up"),
    "look_at": (
        "0.3,0.75",
        "0,3; 0,75",
        "30 % 75 %",
        "1,1",
        "2,0",
        "0.3",
        "nan,0",
        ".;.",
        "0.5|1,0",
    ),
    "mount": ("overlap-white", "double-white", "nowhere", "../x", "float-window", "oval-white"),
    "arrangement": (
        "2x1",
        "row",
        "column",
        "2x2 gap 1 in",
        "3 across",
        "grid 2x2",
        "0x0",
        "row 1 in",
    ),
    "bracket": ("0; +0.10", "-0,10; 0; 0,20", "from light", "1/3 stop", "+9", "0.1;" * 40, ";;"),
    "chosen": ("A", "z", "+0.10", "step B", "1/3 stop", "-0,10", "AA", "+", "1/0 stop"),
    "copies": ("2", "2x", "0", "-1", "999", "1000", "٢", "2.0", "²"),
    "paper": ("Lustre", "matt", "nothing"),
    "finish": ("matt", "silk", ""),
    "notes": ("as last year", "a\nb", "x" * 3000),
}
_HEX = "0x" + "f" * 99
_ESCAPES = ('"\\u0000"', '"\\u001b[2J"', '"\\ud800"', '"\\U00110000"', '"\\u202e"')
_KEYS = ("title", "source", "size", "x", "a.b", '"q q"', "least", "most", "[t]", "[[t]]")


def number(rng: Random) -> str:
    """Return a number as somebody might write it."""
    digits = rng.choice(DIGITS)
    plain = "".join(rng.choice(digits) for _ in range(rng.choice((1, 1, 2, 3, 9, 40))))
    return rng.choice(("", "", "-", "+", "−", " ")) + rng.choice(
        (plain, plain, rng.choice(SMALL), rng.choice(FRACTIONS), rng.choice(HUGE), f"{plain}.5")
    )


def cell(column: str, rng: Random) -> str:
    """Return a cell of a column: a usual one, one made of pieces, or a senseless one."""
    usual = PLAIN.get(column, SMALL)
    made: Sequence[Callable[[], str]] = (
        lambda: rng.choice(usual),
        lambda: rng.choice(usual),
        lambda: length(rng),
        lambda: f"{length(rng)} x {length(rng)}",
        lambda: "".join(rng.choice(_pieces(usual)) for _ in range(rng.randrange(6))),
        lambda: rng.choice(usual) * rng.choice((2, 50, 2000)),
        lambda: edited(rng.choice(usual), rng),
        lambda: near(rng.choice(usual), rng),
        lambda: near(near(rng.choice(usual), rng), rng),
        lambda: rng.choice(("|", ";", " ")).join(rng.choice(usual) for _ in range(5)),
    )
    return rng.choice(made)()


def length(rng: Random) -> str:
    """Return a length with or without its unit."""
    return f"{number(rng)}{rng.choice(('', ' ', ' '))}{rng.choice(UNITS)}"


def edited(text: str, rng: Random) -> str:
    """Return a text with one character added, taken away or replaced."""
    at = rng.randrange(len(text) + 1)
    new = rng.choice((*CONTROLS, *LETTERS, *SYMBOLS, "7", ""))
    return text[:at] + new + text[at + rng.randrange(2) :]


def near(text: str, rng: Random) -> str:
    """Return a text with one of its numbers changed; a text without numbers is edited."""
    found = list(re.finditer(r"[0-9]+(?:\.[0-9]+)?", text))
    if not found:
        return edited(text, rng)
    at = rng.choice(found)
    value = float(at[0])
    changed = rng.choice((0, value * 2, value / 2, value * 10, value / 10, value + 1, -value))
    return f"{text[: at.start()]}{changed:.6g}{text[at.end() :]}"


def _pieces(usual: Sequence[str]) -> tuple[str, ...]:
    return (*usual, *SMALL, *FRACTIONS, *UNITS, *CONTROLS, *LETTERS, *SYMBOLS, *HUGE[:3], " ", " ")


def quoted(text: str, separator: str) -> str:
    """Return a cell as CSV writes it."""
    if any(c in text for c in ('"', separator, "\n", "\r")):
        doubled = text.replace('"', '""')
        return f'"{doubled}"'
    return text


def table(columns: Sequence[str], rows: Sequence[Sequence[str]], rng: Random) -> bytes:
    """Return a table as some spreadsheet writes it: separator, line ends, quotes, encoding."""
    separator, end = rng.choice((",", ",", ";", "\t")), rng.choice(("\n", "\r\n", "\r"))
    lines = [separator.join(quoted(c, separator) for c in row) for row in (columns, *rows)]
    text = end.join(lines) + rng.choice((end, "", end * 3))
    encoding = rng.choice(("utf-8", "utf-8", "utf-8-sig", "utf-16", "cp1252", "utf-32", "latin-1"))
    return text.encode(encoding, "surrogatepass" if encoding.startswith("utf-") else "replace")


def entries_table(rng: Random) -> bytes:
    """Return an entries file of up to six rows."""
    columns = ["file", *rng.sample(COLUMNS, rng.randrange(1, len(COLUMNS)))]
    columns = list(dict.fromkeys(columns))
    if rng.random() < 0.1:
        columns = [edited(column, rng) for column in columns] + ["", "Frame"]
    strange = rng.choice(columns)
    rows = [
        [
            cell(column, rng) if column == strange or rng.random() < 0.2 else _good(column, n, rng)
            for column in columns[: rng.choice((len(columns), len(columns), 1, 40))]
        ]
        for n in range(1, rng.choice((2, 3, 7)))
    ]
    return table(columns, rows, rng)


def readings_table(rng: Random) -> bytes:
    """Return a table of ruler readings."""
    columns = list(READING_COLUMNS)
    good = {"number": "1", "picture": "1", "image_width": "10 in", "image_height": "257 mm"}
    if rng.random() < 0.2:
        columns = [edited(column, rng) for column in columns]
    rows = [
        [cell("number" if c == "number" else "", rng) if rng.random() < 0.3 else good.get(c, "")
         for c in columns]
        for _ in range(rng.choice((1, 2, 5)))
    ]  # fmt: skip
    return table(columns, rows, rng)


def ticks_table(rng: Random) -> bytes:
    """Return a table of marks that are ticked off."""
    columns = list(SPOTTED_COLUMNS)
    good = {"number": "1", "left": "0.25", "top": "50 %", "word": "meant", "fingerprint": "0" * 12}
    if rng.random() < 0.2:
        columns = [edited(column, rng) for column in columns]
    rows = [
        [number(rng) if rng.random() < 0.2 else edited(good.get(c, ""), rng)
         if rng.random() < 0.2 else good.get(c, "") for c in columns]
        for _ in range(rng.choice((1, 2, 5)))
    ]  # fmt: skip
    return table(columns, rows, rng)


def shelf_table(rng: Random) -> bytes:
    """Return a table of what lies on the shelf."""
    columns = list(SHELF_COLUMNS)
    good = {"kind": "ready-cut mat", "size": "16x20 in", "opening": "10x8 in", "count": "2"}
    good["thickness"] = rng.choice(("1.4 mm", "3/16 in"))
    if rng.random() < 0.2:
        columns = [edited(column, rng) for column in columns]
    rows = [
        [cell("size", rng) if rng.random() < 0.1 else edited(good.get(c, ""), rng)
         if rng.random() < 0.1 else good.get(c, "") for c in columns]
        for _ in range(rng.choice((1, 2, 5)))
    ]  # fmt: skip
    return table(columns, rows, rng)


def _good(column: str, n: int, rng: Random) -> str:
    if column == "number":
        return str(n)
    if column == "file":
        return rng.choice(("a.jpg", "b.jpg"))
    return rng.choice((PLAIN[column][0], "")) if column in PLAIN else ""


def toml_value(rng: Random) -> str:
    """Return a value of TOML, or something that looks like one."""
    made: Sequence[Callable[[], str]] = (
        lambda: number(rng).strip(),
        lambda: f'"{length(rng)}"',
        lambda: f'"{length(rng)} x {length(rng)}"',
        lambda: f'"{cell(rng.choice(list(PLAIN)), rng)}"',
        lambda: rng.choice(("true", "false", '""', "''", "[]", "{}", "2026-02-28", "2026-02-30")),
        lambda: rng.choice(("nan", "inf", "-inf", "07:32:00", "1979-05-27T07:32:00Z", _HEX)),
        lambda: "[" + ", ".join(f'"{length(rng)}"' for _ in range(rng.choice((1, 3, 500)))) + "]",
        lambda: rng.choice(('["a", 1]', "[[1]]", "{a = 1}", '[{a = "1 in"}]', "1_000", "1__0")),
        lambda: "[" * 3000 + "]" * rng.choice((0, 3000)),
        lambda: '"""' + "x\n" * rng.choice((1, 9000)) + '"""',
        lambda: '"' + "long " * rng.choice((10, 30_000)) + '"',
        lambda: rng.choice(_ESCAPES),
    )  # fmt: skip
    return rng.choice(made)()


def toml_text(good: str, rng: Random) -> str:
    """Return a TOML file with up to three lines changed."""
    lines = good.splitlines()
    for _ in range(rng.choice((1, 1, 1, 2, 3))):
        at = rng.randrange(len(lines)) if lines else 0
        key, equals, value = lines[at].partition("=") if lines else ("", "", "")
        way = rng.choice(
            (*["near"] * 6, *["value"] * 3, "delete", "double", "key", "edit", "table")
        )
        if way == "near" and equals:
            lines[at] = f"{key}={near(value, rng)}"
        elif way == "value" and equals:
            lines[at] = f"{key}= {toml_value(rng)}"
        elif way == "delete" and lines:
            del lines[at]
        elif way == "double" and lines:
            lines.insert(at, lines[at])
        elif way == "key":
            lines.insert(at, f"{rng.choice(_KEYS)} = {toml_value(rng)}")
        elif way == "table":
            lines.insert(at, "[" * rng.choice((1, 2)) + rng.choice(_KEYS) + "]")
        elif lines:
            lines[at] = edited(lines[at], rng)
    return "\n".join(lines) + "\n"
