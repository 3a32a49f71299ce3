"""How a picture of an entry is seen: what lies beside it on each side, its steps, its paper."""

from proofs.inspection.print_view import PrintView
from proofs.lengths import Edge
from proofs.outside.pixels.colour.screen_cielab import screen_cielab
from proofs.plan.entry.mockup import PAPER, Colour, board_colour, front_colour
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.mounts import WindowKind


def print_view(job: Job, plan: Plan, n: int) -> PrintView:
    """Return how picture ``n`` of a plan is seen, counted from 0."""
    beside = _beside(plan, n)
    return PrintView(
        ppi=job.lab.ppi,
        mats={} if beside is None else dict.fromkeys(Edge, screen_cielab(beside)),
        steps=tuple((step.step, step.density) for step in plan.variants),
        black_lightness=job.paper.black_lightness,
    )


def _beside(plan: Plan, n: int) -> Colour | None:
    """The colour that meets the picture's edge; None if a keyline or an oval keeps it apart."""
    mount, picture = plan.mount, plan.layout.pictures[n]
    if picture.is_oval:
        return None
    if mount.window == WindowKind.SURROUND:
        return None if mount.keyline else front_colour(plan.mount)
    if mount.window == WindowKind.REVEAL or (mount.window == WindowKind.FLOAT and mount.paper):
        return PAPER
    if mount.window == WindowKind.OVERLAP:
        return board_colour(mount.mats[-1].colour)
    return board_colour(mount.backing_colour)
