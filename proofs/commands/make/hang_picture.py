"""The hang: one picture of all mounts of a run on a wall."""

from collections.abc import Sequence
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.files import MOST_PICTURE_BYTES, read_bytes
from proofs.outside.fonts import load_fonts
from proofs.outside.hang_drawing import WALL, Caption, hang_png
from proofs.outside.run_folder import RunFolder
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.making.recipes import MadeWith
from proofs.plan.wall.hang import Mounted, hang

HANG = "hang.png"


def write_hang(
    outcomes: Sequence[Outcome], folder: RunFolder, made_with: MadeWith, *, font: Path | None
) -> tuple[str, ...]:
    """Write the hang of all entries that have a mock-up, unless it is kept, and return its name.

    Nothing is written, and nothing returned, if there is no such entry.
    """
    shown = [(outcome, outcome.plan) for outcome in outcomes if outcome.hung and outcome.plan]
    if not shown:
        return ()
    mounts = [Mounted(plan.layout.board, outcome.entry.category) for outcome, plan in shown]
    captions = [Caption(outcome.entry.number, outcome.entry.title) for outcome, _ in shown]
    digests = [folder.sha256(outcome.hung) for outcome, _ in shown]
    key = made_with.key("hang", mounts, captions, digests, made_with.font_sha256)
    if not folder.keeps(HANG, key):

        def read(place: int) -> bytes:
            path = folder.path / shown[place][0].hung
            return read_bytes(path, error=WriteError, most=MOST_PICTURE_BYTES)

        content = hang_png(hang(mounts, WALL), captions, read, load_fonts(font))
        folder.write(HANG, content, key)
    return (HANG,)
