"""The full-size templates that a run needs, and the lines on each."""

import enum
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from proofs.plan.entry.board import Layout, Opening, Picture
from proofs.plan.entry.planning import Plan


class LineKind(enum.StrEnum):
    """The thing whose edge a line of a template shows."""

    BOARD = "board"
    BACK = "back"
    FACE = "face"
    PAPER = "paper"
    IMAGE = "image"


@dataclass(frozen=True, slots=True)
class EdgeLine:
    """One line of a template: a rectangle, or the oval inside it."""

    kind: LineKind
    line: Opening
    is_oval: bool = False


@dataclass(frozen=True, slots=True)
class Template:
    """The template of mounts that are alike, with the numbers of their entries.

    ``measured`` states whether all of their prints were measured.
    """

    layout: Layout
    entries: tuple[str, ...]
    measured: bool

    @property
    def lines(self) -> tuple[EdgeLine, ...]:
        """Every line to draw, the board's own edge first."""
        return edge_lines(self.layout)


def edge_lines(layout: Layout) -> tuple[EdgeLine, ...]:
    """Return the lines of a layout, with those of each mat; of equal lines only the first.

    Without a window there are only the board and the print. A straight cut has the same opening
    at the back and at the face.
    """
    board = EdgeLine(LineKind.BOARD, Opening(layout.board))
    lines = {(board.line, False): board}
    for picture in layout.pictures:
        for edge in edges_of(picture):
            lines.setdefault((edge.line, edge.is_oval), edge)
    return tuple(lines.values())


def edges_of(picture: Picture) -> Iterator[EdgeLine]:
    """Yield the lines of one picture, from the top mat inwards."""
    for cut in picture.cuts:
        yield EdgeLine(LineKind.BACK, cut.back, picture.is_oval)
        yield EdgeLine(LineKind.FACE, cut.face, picture.is_oval)
    if picture.paper_edge is not None:
        yield EdgeLine(LineKind.PAPER, picture.paper_edge)
    yield EdgeLine(LineKind.IMAGE, picture.image)


def templates_of(plans: Sequence[Plan], measured: Collection[str]) -> tuple[Template, ...]:
    """Return the templates of a run, in the order in which its entries first need them.

    ``measured`` holds the numbers of the entries whose prints were measured.
    """
    alike: dict[tuple[EdgeLine, ...], list[Plan]] = {}
    for plan in plans:
        alike.setdefault(edge_lines(plan.layout), []).append(plan)
    return tuple(
        Template(
            layout=same[0].layout,
            entries=tuple(plan.entry.number for plan in same),
            measured=all(plan.entry.number in measured for plan in same),
        )
        for same in alike.values()
    )
