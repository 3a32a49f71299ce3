"""The edge of a picture that is at the top, and the board that suits the picture."""

from fractions import Fraction

from proofs.lengths import Edge, PixelSize, Size
from proofs.records.cells import Orientation
from proofs.records.job import DEFAULT_BOARD
from proofs.records.mounts import Mount
from proofs.records.rules import BoardRule, Rules

_TURNS = {  # by the edge at the top: quarter turns clockwise, and the turn in words
    Edge.TOP: (0, "as it is"),
    Edge.LEFT: (1, "turned 90° clockwise"),
    Edge.BOTTOM: (2, "turned upside down"),
    Edge.RIGHT: (3, "turned 90° anticlockwise"),
}


def quarter_turns(top_edge: Edge) -> int:
    """Return the number of quarter turns clockwise that bring this edge to the top.

    >>> quarter_turns(Edge.LEFT), quarter_turns(Edge.RIGHT)
    (1, 3)
    """
    return _TURNS[top_edge][0]


def turn_in_words(top_edge: Edge) -> str:
    """Return the turn in words.

    >>> turn_in_words(Edge.RIGHT)
    'turned 90° anticlockwise'
    """
    return _TURNS[top_edge][1]


def as_hung(upright: PixelSize, top_edge: Edge) -> PixelSize:
    """Return the pixel size of a picture that hangs with ``top_edge`` up."""
    return upright.turned if quarter_turns(top_edge) % 2 else upright


def board_for(
    aspect: Fraction, asked: Orientation | None, mount: Mount, rules: Rules | None
) -> Size:
    """Return the outer size of the mount, portrait or landscape as the pictures or the entry ask.

    ``aspect`` is width over height of the picture, or of all pictures together. The mount's own
    board comes first, then that of the rules, then 16 x 20 in. A square picture hangs on a
    portrait board unless the entry asks otherwise. A board that the rules fix "as written" is
    not turned.
    """
    rule = rules.board if rules else None
    size = mount.board or (_board_of(rule, aspect) if rule else DEFAULT_BOARD)
    if rule and not rule.either_way and mount.board is None:
        return size
    portrait = asked == Orientation.PORTRAIT or (asked is None and aspect <= 1)
    return size if size.is_portrait == portrait or size.width == size.height else size.turned


def _board_of(rule: BoardRule, aspect: Fraction) -> Size:
    shape = max(aspect, 1 / aspect)
    return rule.panorama if rule.panorama and shape >= rule.panorama_aspect else rule.size
