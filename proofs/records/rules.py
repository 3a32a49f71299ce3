"""The rules of an exhibition that a program can check.

The exhibition's own rules always take precedence over a profile: read them and correct it.
"""

import datetime
import enum
import re
from dataclasses import dataclass

from proofs.lengths import Length, Size, Unit
from proofs.records.cells import folded
from proofs.records.tables import LONGEST_BOARD, Profile, Table

_SEVERAL = ("each", "sum of longest sides")
_COUNTS = ("image", "whole print")
NAME_PARTS = ("number", "title", "category")
_NAME_PATTERN = re.compile(rf"(?:[A-Za-z0-9_-]|\{{(?:{'|'.join(NAME_PARTS)})\}}){{1,80}}")
_LEAST_BYTES = 50_000  # a smaller file is too poor to judge or print


class LabelLine(enum.StrEnum):
    """A line that rules may require on a label, besides title, category and arrow."""

    NAME = "name"
    ADDRESS = "address"


@dataclass(frozen=True, slots=True)
class BoardRule:
    """The outer size of the board: exact or a maximum; either way round, or only as written.

    Pictures at least ``panorama_aspect`` times as long as they are high may use ``panorama``
    instead.
    """

    size: Size
    exact: bool
    either_way: bool
    panorama: Size | None = None
    panorama_aspect: float = 2.0


@dataclass(frozen=True, slots=True)
class BorderRule:
    """The least mat border for visible sizes up to ``up_to``, either way round, or for the rest."""

    least: Length
    up_to: Size | None = None


@dataclass(frozen=True, slots=True)
class VisibleRule:
    """The limits on the visible size of a picture; None means no limit.

    With ``sums``, the longest sides of several pictures on one board are added up, without the
    gaps; otherwise each picture counts by itself. With ``counts_paper``, the visible paper of a
    print counts as well as its image.
    """

    longest_least: Length | None = None
    longest_most: Length | None = None
    shortest_least: Length | None = None
    shortest_most: Length | None = None
    least_square_nm: int | None = None
    sums: bool = False
    counts_paper: bool = False


@dataclass(frozen=True, slots=True)
class CatalogueRule:
    """The requirements for the screen copy of a picture; None means no limit.

    The picture as it hangs must fit ``width_px`` and ``height_px``, and its file ``most_bytes``.
    ``name`` is the pattern of the file name without its ending. ``title_inside`` requires the
    title inside the file.
    """

    width_px: int | None = None
    height_px: int | None = None
    most_bytes: int | None = None
    least_quality: int = 80
    name: str = "{number}_{title}"
    title_inside: bool = False


@dataclass(frozen=True, slots=True)
class Rules(Profile):
    """The rules of one exhibition; ``unit`` is the one they are written in, inches or mm.

    ``label_lines`` are the lines about the exhibitor that the label must have; it has no others.
    """

    edition: str
    link: str
    unit: Unit
    read_on: datetime.date | None = None
    closing_date: datetime.date | None = None
    return_date: datetime.date | None = None
    board: BoardRule | None = None
    visible: VisibleRule = VisibleRule()
    borders: tuple[BorderRule, ...] = ()
    thickness_least: Length | None = None
    thickness_most: Length | None = None
    mat_colours: tuple[str, ...] = ()
    core_colours: tuple[str, ...] = ()
    categories: tuple[str, ...] = ()
    most_per_category: int | None = None
    monochrome_categories: tuple[str, ...] = ()
    title_most: int | None = None
    keyline_most: Length | None = None
    reminders: tuple[str, ...] = ()
    catalogue: CatalogueRule | None = None
    label_lines: tuple[LabelLine, ...] = ()


def read_rules(table: Table, name: str) -> Rules:
    """Return the rules that a profile describes."""
    mat, thickness, entries = table.table("mat"), table.table("thickness"), table.table("entries")
    rules = Rules(
        *table.heading(name),
        edition=table.text("edition", default=""),
        link=table.text("link", default=""),
        unit=table.choice("unit", (Unit.IN, Unit.MM), default=Unit.IN),
        read_on=table.date_or_none("read_on"),
        closing_date=table.date_or_none("closing_date"),
        return_date=table.date_or_none("return_date"),
        board=_board(table.table("board")),
        visible=_visible(table.table("visible")),
        borders=tuple(
            BorderRule(border.length("least"), border.size_or_none("up_to"))
            for border in table.tables("border")
        ),
        thickness_least=thickness.length_or_none("least"),
        thickness_most=thickness.length_or_none("most"),
        mat_colours=mat.texts("colours"),
        core_colours=mat.texts("core_colours"),
        categories=entries.texts("categories"),
        most_per_category=entries.count_or_none("most_per_category"),
        monochrome_categories=entries.texts("monochrome_categories"),
        title_most=entries.count_or_none("title_most"),
        keyline_most=table.length_or_none("keyline_most"),
        reminders=table.texts("reminders"),
        catalogue=_catalogue(table.table("catalogue")),
        label_lines=table.table("label").choices("ask", LabelLine),
    )
    _check_dates(table, rules)
    table.refuse_unknown()
    _check_categories(entries, rules)
    _in_order(thickness, "least", rules.thickness_least, "most", rules.thickness_most)
    return rules


def _check_categories(entries: Table, rules: Rules) -> None:
    """Refuse categories for monochrome pictures that the exhibition does not have."""
    known = {folded(category) for category in rules.categories}
    for category in rules.monochrome_categories:
        if known and folded(category) not in known:
            expected = f"some of the categories, which are {', '.join(rules.categories)}"
            rests_on = [entries.at("categories")]
            entries.refuse("monochrome_categories", expected, rests_on=rests_on)


def _check_dates(table: Table, rules: Rules) -> None:
    closing, back = rules.closing_date, rules.return_date
    if closing and back and back < closing:
        expected = f"a day after {closing}, the closing_date"
        table.refuse("return_date", expected, rests_on=["closing_date"])


def _board(table: Table) -> BoardRule | None:
    size = table.size_or_none("size", most=LONGEST_BOARD)
    exact = table.choice("fit", ("exact", "at most"), default="exact") == "exact"
    either_way = table.choice("way", ("either", "as written"), default="either") == "either"
    panorama = table.size_or_none("panorama", most=LONGEST_BOARD)
    aspect = table.number("panorama_aspect", least=1, most=10, default=2.0)
    if size is None and table.values:
        table.refuse("size", "a size such as '16x20 in'")
    return BoardRule(size, exact, either_way, panorama, aspect) if size else None


def _visible(table: Table) -> VisibleRule:
    rule = VisibleRule(
        longest_least=table.length_or_none("longest_least"),
        longest_most=table.length_or_none("longest_most"),
        shortest_least=table.length_or_none("shortest_least"),
        shortest_most=table.length_or_none("shortest_most"),
        least_square_nm=table.area_or_none("least_area"),
        sums=table.choice("several", _SEVERAL, default="each") != "each",
        counts_paper=table.choice("counts", _COUNTS, default="image") != "image",
    )
    _in_order(table, "longest_least", rule.longest_least, "longest_most", rule.longest_most)
    _in_order(table, "shortest_least", rule.shortest_least, "shortest_most", rule.shortest_most)
    _in_order(table, "shortest_least", rule.shortest_least, "longest_most", rule.longest_most)
    return rule


def _in_order(table: Table, least: str, low: Length | None, most: str, high: Length | None) -> None:
    if low is not None and high is not None and low > high:
        table.refuse(most, f"at least {low}, the value of {least}", rests_on=[table.at(least)])


def _catalogue(table: Table) -> CatalogueRule | None:
    usual = CatalogueRule()
    rule = CatalogueRule(
        width_px=table.count_or_none("width_px", least=100),
        height_px=table.count_or_none("height_px", least=100),
        most_bytes=table.bytes_or_none("most_bytes"),
        least_quality=table.count("least_quality", default=usual.least_quality),
        name=table.text("name", default=usual.name),
        title_inside=table.boolean("title_inside", default=usual.title_inside),
    )
    if rule.most_bytes is not None and rule.most_bytes < _LEAST_BYTES:
        table.refuse("most_bytes", "at least 50 kB")
    if rule.least_quality > 95:
        table.refuse("least_quality", "a whole number from 1 to 95")
    if not _NAME_PATTERN.fullmatch(rule.name) or "{" not in rule.name:
        parts = ", ".join(f"{{{part}}}" for part in NAME_PARTS)
        table.refuse("name", f"letters, digits, - and _ with one or more of {parts}")
    return rule if table.values else None
