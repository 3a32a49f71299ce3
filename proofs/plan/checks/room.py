"""How much room is left for the work: what tolerances leave, in a word."""

import enum
from collections.abc import Iterable

from proofs.findings import Finding
from proofs.lengths import Length, millimetres

# Common practice, no source: half of the finest mark of a metric ruler is the least that careful
# work can still count on, and two marks are more than it needs.
_JUST = millimetres("0.25")
_AMPLE = millimetres(1)


class Room(enum.StrEnum):
    """What is left when every tolerance goes against a size, in a word."""

    JUST = "just enough"
    ENOUGH = "enough"
    AMPLE = "ample"

    @property
    def word(self) -> str:
        """The word that people read."""
        return self.value


def room_of(left: Length) -> Room:
    """Return the word for a length that is left after tolerances.

    >>> str(room_of(millimetres("0.15"))), str(room_of(millimetres(2)))
    ('just enough', 'ample')
    """
    if left < _JUST:
        return Room.JUST
    return Room.ENOUGH if left < _AMPLE else Room.AMPLE


def least_room(findings: Iterable[Finding]) -> Room | None:
    """Return the word for the least that is left of all limits met; None without any."""
    left = [finding.left for finding in findings if finding.left is not None]
    return room_of(min(left)) if left else None
