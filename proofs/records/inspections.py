"""What counts as worth a look when a picture is inspected at the size of its print."""

from dataclasses import dataclass

from proofs.records.tables import Profile, Table

_MOST_MM = 500.0  # more than any of these lengths can sensibly be


@dataclass(frozen=True, slots=True)
class SpeckLimits:
    """Specks: small spots that stand alone on calm ground.

    Where the texture is above ``most_texture_l``, L* about its mean, none is looked for.
    More than ``crowd_count`` of a kind within ``crowd_radius_mm`` are taken for the subject, or
    within ``crowd_radius_share`` of the side of a square as large as the print, if that is more.
    """

    least_area_mm2: float
    most_area_mm2: float
    least_confidence: float
    most_texture_l: float
    crowd_radius_mm: float
    crowd_radius_share: float
    crowd_count: int


@dataclass(frozen=True, slots=True)
class LineLimits:
    """Hairs and scratches: thin lines of one sign, shorter or longer, straight or bent."""

    least_length_mm: float
    least_confidence: float


@dataclass(frozen=True, slots=True)
class StreakLimits:
    """Streaks of a scanner: straight lines along a whole row or column, or a part of it.

    ``least_noises`` is how far a streak stands above the scatter of its neighbours. In pixels of
    the print, ``most_edge_px`` is the width of its flanks, ``most_turn_px`` how far it leaves its
    row or column from end to end.
    """

    least_contrast_l: float
    least_noises: float
    least_length_mm: float
    most_edge_px: float
    most_turn_px: float


@dataclass(frozen=True, slots=True)
class BorderLimits:
    """Borders along the sides, and strokes in a margin; codes are of 8 bits."""

    most_width_mm: float
    most_unevenness_codes: float
    least_step_codes: float


@dataclass(frozen=True, slots=True)
class LostEdgeLimits:
    """Sides along which picture and mat are too alike to tell apart."""

    most_difference_ciede2000: float
    least_length_mm: float


@dataclass(frozen=True, slots=True)
class ToneLimits:
    """Areas without any tone: bare paper, or as black as the paper gets."""

    least_area_mm2: float
    bare_paper_l: float


@dataclass(frozen=True, slots=True)
class SharpnessLimits:
    """How wide edges may be where the picture is sharpest, and how many edges that takes."""

    sharp_edge_mm: float
    soft_edge_mm: float
    least_edges: int


@dataclass(frozen=True, slots=True)
class InspectionProfile(Profile):
    """How closely pictures are inspected."""

    specks: SpeckLimits
    lines: LineLimits
    streaks: StreakLimits
    borders: BorderLimits
    lost_edges: LostEdgeLimits
    tones: ToneLimits
    sharpness: SharpnessLimits


def read_inspection(table: Table, name: str) -> InspectionProfile:
    """Return the inspection that a profile describes."""
    profile = InspectionProfile(
        *table.heading(name),
        specks=_specks(table.table("specks")),
        lines=_lines(table.table("lines")),
        streaks=_streaks(table.table("streaks")),
        borders=_borders(table.table("borders")),
        lost_edges=_lost_edges(table.table("lost_edges")),
        tones=_tones(table.table("tones")),
        sharpness=_sharpness(table.table("sharpness")),
    )
    table.refuse_unknown()
    return profile


def _specks(table: Table) -> SpeckLimits:
    limits = SpeckLimits(
        least_area_mm2=table.number("least_area_mm2", least=0.001, most=3.2),
        most_area_mm2=table.number("most_area_mm2", least=0.001, most=3.2),
        least_confidence=table.number("least_confidence", least=0, most=1),
        most_texture_l=table.number("most_texture_l", least=0.1, most=100),
        crowd_radius_mm=table.number("crowd_radius_mm", least=0, most=_MOST_MM),
        crowd_radius_share=table.number("crowd_radius_share", least=0, most=1),
        crowd_count=table.count("crowd_count", least=1),
    )
    if limits.most_area_mm2 < limits.least_area_mm2:
        least = table.at("least_area_mm2")
        table.refuse("most_area_mm2", "at least least_area_mm2", rests_on=[least])
    return limits


def _lines(table: Table) -> LineLimits:
    return LineLimits(
        least_length_mm=table.number("least_length_mm", least=1, most=_MOST_MM),
        least_confidence=table.number("least_confidence", least=0, most=1),
    )


def _streaks(table: Table) -> StreakLimits:
    return StreakLimits(
        least_contrast_l=table.number("least_contrast_l", least=0.01, most=100),
        least_noises=table.number("least_noises", least=1, most=1000),
        least_length_mm=table.number("least_length_mm", least=10, most=_MOST_MM),
        most_edge_px=table.number("most_edge_px", least=1, most=20),
        most_turn_px=table.number("most_turn_px", least=0, most=20),
    )


def _borders(table: Table) -> BorderLimits:
    return BorderLimits(
        most_width_mm=table.number("most_width_mm", least=0.1, most=50),
        most_unevenness_codes=table.number("most_unevenness_codes", least=0, most=255),
        least_step_codes=table.number("least_step_codes", least=1, most=255),
    )


def _lost_edges(table: Table) -> LostEdgeLimits:
    return LostEdgeLimits(
        most_difference_ciede2000=table.number("most_difference_ciede2000", least=0.1, most=100),
        least_length_mm=table.number("least_length_mm", least=1, most=_MOST_MM),
    )


def _tones(table: Table) -> ToneLimits:
    return ToneLimits(
        least_area_mm2=table.number("least_area_mm2", least=0.1, most=10_000),
        bare_paper_l=table.number("bare_paper_l", least=50, most=100),
    )


def _sharpness(table: Table) -> SharpnessLimits:
    limits = SharpnessLimits(
        sharp_edge_mm=table.number("sharp_edge_mm", least=0.01, most=10),
        soft_edge_mm=table.number("soft_edge_mm", least=0.01, most=10),
        least_edges=table.count("least_edges", least=30),  # from fewer the figure is chance
    )
    if limits.soft_edge_mm < limits.sharp_edge_mm:
        sharp = table.at("sharp_edge_mm")
        table.refuse("soft_edge_mm", "at least sharp_edge_mm", rests_on=[sharp])
    return limits
