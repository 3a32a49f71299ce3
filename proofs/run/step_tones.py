"""The tones of a picture at each step, measured on its pixels."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from proofs.findings import Finding, Severity
from proofs.inspection.tone_figures import clipped_shares_at
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.lightness import lightness_map, mid_grey_shifts
from proofs.plan.checks.outcomes import Tones
from proofs.plan.tones.tone import Variant
from proofs.records.job import Job
from proofs.run.text_report import numbered

BLOCKED_SHADOWS = "blocked-shadows"  # the code of the finding
_MOST_BLOCKED = 0.02  # of the image, beyond what the plain picture blocks; common practice


def measured_tones(
    small: ProfiledImage, job: Job, variants: Sequence[Variant]
) -> tuple[Tones, ...]:
    """Return the measured tones of each step, from a picture reduced to screen size."""
    lightness = lightness_map(small, job.lab)
    return step_tones([small], job, [lightness], [variant.density for variant in variants])


def step_tones(
    smalls: Sequence[ProfiledImage],
    job: Job,
    lightness: Sequence[NDArray[np.float32]],
    changes: Sequence[float],
) -> tuple[Tones, ...]:
    """Return the measured tones of each step for all pictures of an entry together.

    ``smalls`` are the pictures reduced to screen size, and ``lightness`` their L*. The density
    reached is that of the picture whose mid grey is furthest from the density asked for.
    """
    whole = lightness[0] if len(lightness) == 1 else np.concatenate([m.ravel() for m in lightness])
    lost = [clipped_shares_at(whole, change, job.paper.black_lightness) for change in changes]
    reached = zip(*(mid_grey_shifts(small, job.lab, changes) for small in smalls), strict=True)
    return tuple(
        Tones(
            density_asked=change,
            density_reached=_furthest(of_pictures, change),
            blocked_share=shares.blocked,
            bare_share=shares.bare,
        )
        for change, of_pictures, shares in zip(changes, reached, lost, strict=True)
    )


def _furthest(reached: Sequence[float], asked: float) -> float:
    return max(reached, key=lambda density: abs(density - asked))


def tones_together(pictures: Sequence[Sequence[Tones]], areas: Sequence[int]) -> tuple[Tones, ...]:
    """Return the tones of each step of an entry from those of its pictures.

    Shares are averages weighted by ``areas``, those of the pictures. The density reached is
    that of the picture whose mid grey is furthest from the density asked for.
    """
    steps = zip(*pictures, strict=True)
    return tuple(_together(tones, areas) for tones in steps)


def _together(tones: Sequence[Tones], areas: Sequence[int]) -> Tones:
    furthest = max(tones, key=lambda t: abs(t.density_reached - t.density_asked))
    return replace(
        furthest,
        blocked_share=float(np.average([t.blocked_share for t in tones], weights=areas)),
        bare_share=float(np.average([t.bare_share for t in tones], weights=areas)),
    )


def blocked_findings(
    job: Job, variants: Sequence[Variant], tones: Sequence[Tones]
) -> tuple[Finding, ...]:
    """Return a warning if steps block far more of the shadows than the plain picture does."""
    plain = next(t.blocked_share for v, t in zip(variants, tones, strict=True) if v.is_plain)
    more = {v.step: t.blocked_share - plain for v, t in zip(variants, tones, strict=True)}
    steps = [step for step, share in more.items() if share >= _MOST_BLOCKED]
    if not steps:
        return ()
    worst, black = max(more.values()), job.paper.black_lightness
    message = (
        f"{numbered(steps, what='step')}: up to {100 * worst:.1f} % more of the image than in the"
        f" plain picture is darker than L* {black:g}, the deepest black of {job.paper.title}"
    )
    remedy = "check the shadows on a test strip, or choose a lighter step"
    return (
        Finding(
            BLOCKED_SHADOWS,
            Severity.WARNING,
            message,
            measured=worst * 100,
            limit=_MOST_BLOCKED * 100,
            unit="%",
            remedy=remedy,
        ),
    )
