"""The ready-cut mats on the shelf that suit an entry, the best first, and why."""

import enum
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from proofs.findings import Status
from proofs.lengths import NM_PER_INCH, Length, Size, Unit
from proofs.plan.bench.shelved import ready_cut_for
from proofs.plan.checks.checking import status_of
from proofs.plan.checks.mount_checks import mount_findings
from proofs.plan.checks.size_checks import size_findings
from proofs.plan.cutting.openings import opened
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.cells import Orientation
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.mounts import GIVES_OPENINGS, Mount, WindowKind, WindowShape
from proofs.records.shelf import ShelfBoard, ShelfKind
from proofs.records.size_and_crop import SizeKind, SizeWish

_FINEST = NM_PER_INCH // 64  # of an opening that was measured in inches
_HALF = Fraction(1, 2)
_MUCH_MORE = Fraction(1, 20)  # of the picture; common practice, no source


class Change(enum.StrEnum):
    """What a ready-cut mat changes of an entry as it is planned."""

    NOTHING = "nothing"
    OPENING = "opening"
    """The image stays, so that a print that is made can be used."""
    IMAGE = "image"


@dataclass(frozen=True, slots=True)
class MatOffer:
    """A ready-cut mat that suits an entry; ``plan`` is the entry in it, and ``status`` its verdict.

    ``size`` is the cell that asks for its opening.
    """

    board: ShelfBoard
    plan: Plan
    change: Change
    status: Status
    size: str

    @property
    def hidden_share(self) -> Fraction:
        """The share of the picture that the mat hides, 0 to 1."""
        return _hidden_share(self.plan)

    @property
    def sight(self) -> Size:
        """What is visible of the picture in this mat."""
        return self.plan.layout.pictures[0].sight.size


def mat_offers(job: Job, plan: Plan, boards: Sequence[ShelfBoard]) -> tuple[MatOffer, ...]:
    """Return the ready-cut mats that suit an entry by rules and mount, the best first.

    Rules that are met come before those at risk, then an image that stays as it is planned. Of the
    mats that hide about as little of the picture as any, the one whose image is nearest in size to
    the one planned comes first; then those that hide more.
    """
    if not _can_have_one(plan):
        return ()
    cut = (b for b in boards if b.kind is ShelfKind.READY_CUT and b.count)
    found = [offer for board in cut if (offer := _offer(job, plan, board))]
    return tuple(sorted(found, key=lambda offer: _rank(offer, found, plan)))


def _can_have_one(plan: Plan) -> bool:
    mount = plan.mount
    return (
        len(plan.parts) == 1
        and mount.window in GIVES_OPENINGS
        and mount.shape is WindowShape.RECTANGLE
        and not mount.inner
    )


def _kind(offer: MatOffer) -> tuple[bool, bool]:
    return offer.status != Status.MET, offer.change is Change.IMAGE


def _rank(offer: MatOffer, found: Sequence[MatOffer], plan: Plan) -> tuple[object, ...]:
    hidden = offer.hidden_share
    least = min(other.hidden_share for other in found if _kind(other) == _kind(offer))
    is_much_more = hidden - least > _MUCH_MORE
    smaller, larger = sorted(p.layout.pictures[0].image.size.square_nm for p in (plan, offer.plan))
    return (
        *_kind(offer),
        hidden if is_much_more else 0,
        Fraction(larger, smaller),
        hidden,
        -offer.sight.square_nm,
        offer.board.line or 0,
    )


def _offer(job: Job, plan: Plan, board: ShelfBoard) -> MatOffer | None:
    """The best way to use a mat for an entry: with the image as planned, else with another."""
    size, opening = _lying_like(plan, board)
    way_up = Orientation.PORTRAIT if size.is_portrait else Orientation.LANDSCAPE
    if plan.entry.board not in (None, way_up) or not _may_have_board(job, plan, size):
        return None
    own = replace(job, mounts=(_with_mat(plan.mount, board),))
    wish = SizeWish(SizeKind.OPENING, box=opening, unit=_unit_of(opening))
    for changed in _ways(own, plan, replace(plan.entry, board=way_up), wish):
        rules = mount_findings(own.rules, changed) if own.rules else ()
        status = status_of((*size_findings(own, changed), *rules))
        if status in (Status.MET, Status.AT_RISK):
            change = _change(plan, changed, board, near=job.reading_error)
            return MatOffer(board, changed, change, status, str(wish))
    return None


def _ways(job: Job, plan: Plan, entry: Entry, wish: SizeWish) -> Iterator[Plan]:
    """The entry in a mat: with its image as planned, then with the image for that opening.

    The image does not stay if the mat would hide much more of it than of the other.
    """
    facts, image = plan.parts[0].facts, plan.layout.pictures[0].image.size
    found = list[Plan]()
    for sizes in ((wish,), plan.entry.sizes):
        try:
            found.append(plan_entry(job, replace(entry, sizes=sizes), facts))
        except ValueError:
            return
    other, same = found
    if plan.mount.window is WindowKind.OVERLAP and same.layout.pictures[0].image.size == image:
        kept = _opened(same, wish)
        if _hidden_share(kept) - _hidden_share(other) <= _MUCH_MORE:
            yield kept
    yield other


def _hidden_share(plan: Plan) -> Fraction:
    picture = plan.layout.pictures[0]
    return 1 - Fraction(picture.sight.size.square_nm, picture.image.size.square_nm)


def _opened(plan: Plan, wish: SizeWish) -> Plan:
    """The plan with the opening of a wish, which is the edge that limits the view."""
    ((cut,),) = plan.layout.windows
    bevel = (cut.back.size.width - cut.limiting.size.width) * _HALF
    return opened(plan, wish.box.grown(bevel)) if wish.box else plan


def _change(plan: Plan, changed: Plan, board: ShelfBoard, *, near: Length) -> Change:
    if ready_cut_for(plan, [(0, board)], near) is not None:
        return Change.NOTHING
    images = [one.layout.pictures[0].image.size for one in (plan, changed)]
    return Change.OPENING if images[0] == images[1] else Change.IMAGE


def _lying_like(plan: Plan, board: ShelfBoard) -> tuple[Size, Size]:
    """The mat and its opening, turned so that the opening lies like the picture."""
    opening = board.opening or board.size
    aspect = plan.parts[0].image.aspect
    is_across = opening.width > opening.height
    lies_like = aspect == 1 or opening.width == opening.height or is_across == (aspect > 1)
    return (board.size, opening) if lies_like else (board.size.turned, opening.turned)


def _may_have_board(job: Job, plan: Plan, size: Size) -> bool:
    """Whether it is the board of the entry; where rules decide the size, they are checked."""
    has_rule = job.rules is not None and job.rules.board is not None
    return has_rule or size in (plan.layout.board, plan.layout.board.turned)


def _with_mat(mount: Mount, board: ShelfBoard) -> Mount:
    return replace(
        mount,
        board=board.size,
        opening=None,
        mat=board.thickness,
        mat_colour=board.colour,
        core_colour=board.core,
        mat_weight=None,
    )


def _unit_of(size: Size) -> Unit:
    in_inches = all(side.nm % _FINEST == 0 for side in (size.width, size.height))
    return Unit.IN if in_inches else Unit.MM
