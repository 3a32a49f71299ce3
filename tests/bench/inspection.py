"""What an inspection finds of planted defects, and what it marks where none were planted.

    python -m tests.bench.inspection [FOLDER] [--all] [--inches 7 10 15] [--tuned]
                                     [--profile usual] [--seeds 3]

Plants defects with fixed seeds into real photographs at the size of a print, some from
scikit-image, the scenes of the demo, and those in FOLDER, and prints recall by kind, size,
contrast and calmness, the precision of the ten surest marks, and the marks on the same pictures
without defects, beside the targets. Half of the pictures are only ever measured: those are
counted, unless ``--tuned`` asks for the others. Without ``--all`` a few of each source are taken.
Chance gives few lines on calm ground, so ``--seeds`` more times lines alone are planted and looked
for; three times give over a hundred from 10 mm.

Of several sizes of print each has tables of its own, and a summary comes last. Pictures that have
one size only are measured with the first.
"""

import argparse
import time
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from proofs.inspection.lightness_levels import levels_of
from proofs.inspection.lines import lines
from proofs.inspection.marks import Area, Inspection, Mark, MarkKind
from proofs.inspection.print_view import PrintView
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.print_inspection import STRIP_ROWS, inspect_print
from proofs.outside.profiles import profile_folders
from proofs.records.inspections import InspectionProfile
from tests.bench.planted_sides import border_case, clean_crop_cases, lost_edge_case
from tests.bench.prints import PPI, PrintPicture, print_pictures
from tests.inspection.planting import Codes, Planted, Planter, lightness, planted_picture

MM = PPI / 25.4
VIEW = PrintView(PPI, {}, (("A", 0.0),), 9.0)
SRGB = spaces.built_in_profile("srgb")
AREAS = (0.01, 0.04, 0.1, 0.5)
CONTRASTS = (3.0, 5.0, 8.0, 15.0)
CALM = (0.75, 1.5, 3.0)
GROUNDS = ("very calm", "calm", "fair", "busy")
LENGTHS = (5.0, 10.0)
LINE_CONTRASTS = (2.0, 4.0, 6.0, 12.0)
SEARCHED = (MarkKind.SPECK, MarkKind.LINE, MarkKind.STREAK)


@dataclass
class Tally:
    """What was found of what was planted, and what was marked without anything planted."""

    specks: list[tuple[Planted, bool]] = field(default_factory=list)
    lines: list[tuple[Planted, bool]] = field(default_factory=list)
    streaks: list[tuple[Planted, bool]] = field(default_factory=list)
    surest: list[float] = field(default_factory=list)
    false: dict[MarkKind, list[tuple[int, str]]] = field(default_factory=lambda: defaultdict(list))
    borders: list[tuple[bool, str]] = field(default_factory=list)
    lost_edges: list[tuple[bool, str]] = field(default_factory=list)
    crops: list[tuple[int, str]] = field(default_factory=list)
    clean: dict[str, list[Mark]] = field(default_factory=dict)


def inspected(codes: Codes, profile: InspectionProfile, view: PrintView = VIEW) -> Inspection:
    """Return the inspection of 8-bit sRGB pixels, as a print of 16 bits has them."""
    base = ProfiledImage(vips.image_of_codes(codes.astype(np.uint16) * 257), SRGB)
    return inspect_print(base, view, profile)


def line_marks(codes: Codes, profile: InspectionProfile) -> list[Mark]:
    """Return the hairs and scratches that an inspection finds, without looking for all the rest."""
    full, half = levels_of(lightness(codes), 2)
    return lines(full, half, profile.lines, MM, STRIP_ROWS)


def is_speck_at(mark: Mark, planted: Planted) -> bool:
    """Whether a mark is on a planted speck."""
    radius = np.sqrt(planted.area_mm2 / np.pi)
    x, y = mark.area.centre
    off = np.hypot(x - (planted.x + 0.5) / MM, y - (planted.y + 0.5) / MM)
    return mark.kind == MarkKind.SPECK and bool(off <= max(0.35, radius))


def covered_mm(area: Area, planted: Planted) -> float:
    """How much of a planted line lies within the rectangle of a mark, half a millimetre wider."""
    x, y = np.linspace(0, 1, 200), np.array(planted.path)
    at = np.linspace(0, 1, len(y))
    points = np.stack([np.interp(x, at, y[:, n]) for n in (0, 1)], axis=1) / MM
    low = np.array([area.left, area.top]) - 0.5
    high = np.array([area.left + area.width, area.top + area.height]) + 0.5
    inside = ((points >= low) & (points <= high)).all(axis=1)
    return float(inside.mean()) * planted.length_mm


def is_on_line(mark: Mark, planted: Planted) -> bool:
    """Whether a mark covers a quarter of a planted line, or 3 mm, and is not far longer."""
    enough = min(planted.length_mm / 4, 3.0)
    is_near = (mark.length_mm or 0) <= 1.5 * planted.length_mm + 3
    return (
        mark.kind in (MarkKind.LINE, MarkKind.STREAK)
        and is_near
        and mark.contrast * planted.contrast > 0
        and covered_mm(mark.area, planted) >= enough
    )


def is_found(marks: Iterable[Mark], planted: Planted) -> bool:
    """Whether any of the marks is on a planted defect."""
    return any(is_on(mark, planted) for mark in marks)


def is_on(mark: Mark, planted: Planted) -> bool:
    """Whether a mark is on a planted defect."""
    return is_speck_at(mark, planted) if planted.kind == "speck" else is_on_line(mark, planted)


def measure(picture: PrintPicture, profile: InspectionProfile, tally: Tally, seeds: int) -> None:
    """Inspect a picture clean, with defects, with streaks, and with borders and lost edges."""
    clean = inspected(picture.codes, profile)
    tally.clean[picture.name] = list(clean.marks)
    for kind in (*SEARCHED, MarkKind.BORDER, MarkKind.STROKE):
        count = sum(mark.kind == kind for mark in clean.marks)
        tally.false[kind].append((count, picture.name))
    seed = int(np.frombuffer(picture.name.encode()[-4:], np.uint32)[0])
    codes, planted = planted_picture(picture.codes, PPI, seed)
    marks = [m for m in inspected(codes, profile).marks if m.kind in SEARCHED]
    for defect in planted:
        rows = {"speck": tally.specks, "streak": tally.streaks}.get(defect.kind, tally.lines)
        rows.append((defect, is_found(marks, defect)))
    if marks:
        right = [any(is_on(mark, defect) for defect in planted) for mark in marks[:10]]
        tally.surest.append(float(np.mean(right)))
    for part in (1.0, 0.5):
        planter = Planter(picture.codes, PPI, seed + 1)
        planter.streak(part=part)
        marks = list(inspected(planter.codes, profile).marks)
        tally.streaks += [(one, is_found(marks, one)) for one in planter.planted]
    for n in range(seeds):
        for is_long in (False, True):
            planter = Planter(picture.codes, PPI, seed + 10 + n)
            if is_long:
                planter.scratches(5)
            planter.hairs(*(9, (10, 25)) if is_long else (12, (5, 10)))
            marks = line_marks(planter.codes, profile)
            tally.lines += [(one, is_found(marks, one)) for one in planter.planted]
    tally.borders += [border_case(picture, profile, seed + n) for n in range(4)]
    tally.lost_edges.append(lost_edge_case(picture, profile, seed))
    tally.crops += clean_crop_cases(picture, profile, seed)


def recall(rows: Iterable[tuple[Planted, bool]]) -> str:
    """Return a recall and the number it is of."""
    found = [hit for _, hit in rows]
    return f"{np.mean(found):4.2f} ({len(found):3d})" if found else "   - (  0)"


def cell(value: float, limits: tuple[float, ...]) -> int:
    """Return the number of the cell of a table that a value is in."""
    return int(np.searchsorted(limits, value, side="right"))


def show_specks(rows: list[tuple[Planted, bool]]) -> None:
    """Print the recall of specks by ground, area and contrast."""
    print("\nspecks: recall (number planted) by dL*")
    print(" " * 26 + "".join(f"{word:>13s}" for word in ("3-5", "5-8", "8-15", ">=15")))
    for ground, words in enumerate(GROUNDS):
        for area, size in enumerate(("<0.01", "0.01-0.04", "0.04-0.1", "0.1-0.5", "0.5-3.2")):
            own = [
                r
                for r in rows
                if cell(r[0].texture, CALM) == ground and cell(r[0].area_mm2, AREAS) == area
            ]
            by_contrast = (
                [r for r in own if cell(abs(r[0].contrast), CONTRASTS) == c] for c in range(1, 5)
            )
            print(f"{words:>11s} {size:>10s} mm2", *(f"{recall(r):>12s}" for r in by_contrast))
    calm = [r for r in rows if r[0].texture <= 0.75 and r[0].area_mm2 >= 0.1]
    calm = [r for r in calm if abs(r[0].contrast) >= 5]
    for form in ("hard", "soft", "ring"):
        print(f"  {form}: {recall(r for r in calm if r[0].form == form)}")
    print(f"  dark: {recall(r for r in calm if r[0].contrast < 0)}", end="  ")
    print(f"light: {recall(r for r in calm if r[0].contrast > 0)}")


def show_lines(rows: list[tuple[Planted, bool]]) -> None:
    """Print the recall of lines by ground, kind, length and contrast."""
    print("\nlines: recall (number planted) by dL*")
    print(" " * 22 + "".join(f"{word:>13s}" for word in ("2-4", "4-6", "6-12", ">=12")))
    for is_calm in (True, False):
        for kind in ("hair", "scratch"):
            for n, length in enumerate(("3-5", "5-10", ">=10")):
                own = [
                    r
                    for r in rows
                    if (r[0].texture <= 1.5) == is_calm
                    and r[0].kind == kind
                    and cell(r[0].length_mm, LENGTHS) == n
                ]
                by_contrast = (
                    [r for r in own if cell(abs(r[0].contrast), LINE_CONTRASTS) == c]
                    for c in range(1, 5)
                )
                if own:
                    words = "calm" if is_calm else "rough"
                    print(
                        f"{words:>6s} {kind:>8s} {length:>4s}mm",
                        *(f"{recall(r):>12s}" for r in by_contrast),
                    )


def speck_recall(tally: Tally, areas: tuple[float, float], contrasts: tuple[float, float]) -> str:
    """Return the recall of specks of some areas and contrasts on calm ground."""
    return recall(
        r
        for r in tally.specks
        if r[0].texture <= 0.75
        and areas[0] <= r[0].area_mm2 < areas[1]
        and contrasts[0] <= abs(r[0].contrast) < contrasts[1]
    )


def show_sizes(tallies: dict[float, Tally]) -> None:
    """Print what is reached with specks at each size of print."""
    print("\nspecks by size of print, on ground up to T 0.75")
    print(
        f"{'inches':>6s}{'pictures':>10s}{'mean':>6s}{'median':>8s}{'worst':>7s}"
        f"{'0.04-0.5, >=8':>16s}{'0.5-3.2, >=8':>14s}{'>=0.1, 5-8':>13s}{'surest':>8s}"
    )
    for inches, tally in tallies.items():
        numbers = [count for count, _ in tally.false[MarkKind.SPECK]]
        if not numbers:
            continue
        print(
            f"{inches:6g}{len(numbers):10d}{np.mean(numbers):6.2f}{np.median(numbers):8.1f}"
            f"{max(numbers):7d}{speck_recall(tally, (0.04, 0.5), (8, 999)):>16s}"
            f"{speck_recall(tally, (0.5, 9), (8, 999)):>14s}"
            f"{speck_recall(tally, (0.1, 9), (5, 8)):>13s}{np.mean(tally.surest):8.2f}"
        )


def show_targets(tally: Tally) -> None:
    """Print what is reached beside what is asked for."""

    def some_lines(lengths: tuple[float, float], least: float) -> str:
        return recall(
            r
            for r in tally.lines
            if r[0].texture <= 1.5
            and lengths[0] <= r[0].length_mm < lengths[1]
            and abs(r[0].contrast) >= least
        )

    streaks = [r for r in tally.streaks if r[0].texture <= 1.5 and abs(r[0].contrast) >= 1.5]
    print("\n" + f"{'':58s}{'reached':>12s}  target")
    for words, reached, target in (
        (
            "specks 0.04-0.5 mm2, dL* >= 8, T <= 0.75",
            speck_recall(tally, (0.04, 0.5), (8, 999)),
            "0.95",
        ),
        (
            "specks 0.5-3.2 mm2, dL* >= 8, T <= 0.75",
            speck_recall(tally, (0.5, 9), (8, 999)),
            "0.90",
        ),
        ("specks from 0.1 mm2, dL* 5-8, T <= 0.75", speck_recall(tally, (0.1, 9), (5, 8)), "0.85"),
        (
            "specks 0.01-0.04 mm2, dL* >= 8, T <= 0.75",
            speck_recall(tally, (0.01, 0.04), (8, 999)),
            "-",
        ),
        ("hairs, scratches from 10 mm, dL* >= 4, T <= 1.5", some_lines((10, 999), 4), "0.90"),
        ("hairs 5-10 mm, dL* >= 6, T <= 1.5", some_lines((5, 10), 6), "0.85"),
        (
            "streaks, full, dL* >= 1.5, T <= 1.5",
            recall(r for r in streaks if r[0].form == "whole"),
            "0.90",
        ),
        ("streaks, half", recall(r for r in streaks if r[0].form == "part"), "-"),
        ("of the ten surest, planted", f"{np.mean(tally.surest):4.2f}", "0.90"),
        ("borders and strokes right", _share(tally.borders), "all"),
        ("lost edges right", _share(tally.lost_edges), "all"),
    ):
        print(f"{words:58s}{reached:>12s}  {target}")
    for kind, target in (
        (MarkKind.SPECK, "mean 3, median 2, worst 15"),
        (MarkKind.LINE, "mean 1, worst 10"),
        (MarkKind.STREAK, "mean 0.1"),
        (MarkKind.BORDER, "none"),
        (MarkKind.STROKE, "none"),
    ):
        counts = sorted(tally.false[kind], reverse=True)
        numbers = [count for count, _ in counts]
        worst = ", ".join(f"{name} {count}" for count, name in counts[:3] if count)
        print(
            f"false {kind} a clean picture: mean {np.mean(numbers):.2f}, median"
            f" {np.median(numbers):.1f}, worst {max(numbers)}; target {target}  [{worst}]"
        )
    invented = [f"{words}: {count}" for count, words in tally.crops if count]
    print(f"borders and strokes on {len(tally.crops)} clean crops: {len(invented)}; target none")
    print("\n".join(invented), end="\n" if invented else "")
    for what, cases in (("border", tally.borders), ("lost edge", tally.lost_edges)):
        for is_right, words in cases:
            if not is_right:
                print(f"wrong {what}: {words}")


def _share(cases: list[tuple[bool, str]]) -> str:
    return f"{sum(is_right for is_right, _ in cases)} of {len(cases)}"


def main() -> None:
    """Measure the pictures and print the tables."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", nargs="?", type=Path)
    parser.add_argument("--all", action="store_true", help="all pictures, not some of each source")
    parser.add_argument(
        "--inches", type=float, nargs="+", default=[10.0], help="the long side of the prints"
    )
    parser.add_argument("--tuned", action="store_true", help="the pictures that were tuned on")
    parser.add_argument("--profile", default="usual")
    parser.add_argument("--seeds", type=int, default=3, help="how often lines alone are planted")
    asked = parser.parse_args()
    profile = profile_folders(None).inspection(asked.profile)
    start = time.process_time()
    tallies: dict[float, Tally] = {}
    for inches in asked.inches:
        tallies[inches] = tally = Tally()
        for picture in print_pictures(asked.folder, inches, None if asked.all else 6):
            is_counted = len(tallies) == 1 or is_of_size(picture, inches)
            if picture.is_tuned == asked.tuned and is_counted:
                measure(picture, profile, tally, asked.seeds)
                spent = time.process_time() - start
                print(f"{inches:g} in, {picture.name}: {spent:.0f} s so far", flush=True)
        show_specks(tally.specks)
        show_lines(tally.lines)
        show_targets(tally)
    if len(tallies) > 1:
        show_sizes(tallies)


def is_of_size(picture: PrintPicture, inches: float) -> bool:
    """Whether the long side of a picture is of so many inches, give or take a rounded pixel."""
    return bool(abs(max(picture.codes.shape) - inches * PPI) <= 1.5)


if __name__ == "__main__":
    main()
