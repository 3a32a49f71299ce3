"""How far readings of the grey wedge are off under reflections and shadows: the figures.

    python tests/bench/reflections.py [PHOTOGRAPHS]

Reads simulated scans with a spot of light over the middle steps, and simulated photographs of a
glossy print (200 unless told otherwise), and prints the errors of the offset at mid grey. Nothing
here is run by CI; a smaller set is in the tests.
"""

import sys
from collections import Counter

from proofs.commands.strip_read import cautions
from proofs.inspection.wedge_finding import find_wedge
from proofs.inspection.wedge_pose import Luminance
from tests.inspection.photographs import codes_with_spot, drawn, lamp_over_the_middle, photographed
from tests.inspection.print_and_scan import Scan, linear

WRONG = 0.03  # D


def outcome(light: Luminance, offset: float) -> tuple[str, str]:
    """Return how a reading ended, in a word or two, and its error and remarks."""
    try:
        reading = find_wedge(light)
    except ValueError as error:
        return "refused", str(error)[:70]
    off, remarks = reading.offset - offset, cautions(reading)
    kind = ("wrong" if abs(off) > WRONG else "right") + (", cautioned" if remarks else "")
    return kind, f"{off:+.3f} D, doubt {reading.doubt:.3f}  {'; '.join(r[:40] for r in remarks)}"


def spots() -> None:
    """Print the errors under a spot over the middle steps, of 80 pixels at 150 ppi."""
    scan = Scan(exposure=0.75)
    for strength in (0.0, 0.02, 0.05, 0.10, 0.20):
        codes = codes_with_spot(scan, lamp_over_the_middle(strength, scan))
        print(f"spot {strength:4.0%}", *outcome(linear(codes), 0.0), sep="  ")


def photographs(count: int) -> None:
    """Print every photograph that was not read right without a caution, and how many were."""
    kinds: Counter[str] = Counter()
    for seed in range(count):
        asked = drawn(seed)
        kind, remarks = outcome(photographed(asked), asked.print.offset)
        kinds[kind] += 1
        if kind != "right":
            print(f"photograph {seed:3d}  {kind:17s}  {remarks}")
    for kind, number in sorted(kinds.items()):
        print(f"{number:4d} of {count}  {kind}")


if __name__ == "__main__":
    spots()
    photographs(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
