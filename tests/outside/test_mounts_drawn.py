"""Mounts beyond the single window, measured in the pixels of their mock-ups.

Sizes are arithmetic by hand at 100 px an inch: a mat of 1.4 mm is 5.51 px thick.
"""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from proofs.lengths import ZERO, inches, millimetres
from proofs.outside.ground import board_of
from proofs.outside.mockups import empty_mount, front_codes
from proofs.plan.entry.mockup import picture_pixels
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.arrangements import read_arrangement
from proofs.records.mounts import Mat, Mount, WindowKind, WindowShape
from tests.outside.test_mockups import HALF_PIXEL
from tests.workbench import a_job, a_mount, an_entry, facts, no_window

Codes = NDArray[np.uint8]
INKS = ((20, 40, 200), (200, 30, 20), (20, 150, 40), (120, 20, 140))  # a picture each
TO_A_PIXEL = 1.01  # an edge between two pixels is found at one of them


def plan_of(mount: Mount, size: str, *pictures: tuple[int, int], arrangement: str = "row") -> Plan:
    names = "|".join(f"{n}.jpg" for n in range(len(pictures)))
    entry = an_entry(size, file=names, arrangement=read_arrangement(arrangement))
    return plan_entry(a_job(mount), entry, *(facts(*picture) for picture in pictures))


def front_of(plan: Plan) -> Codes:
    pictures = []
    for n, ink in zip(range(len(plan.parts)), INKS, strict=False):
        size = picture_pixels(plan, n)
        pictures.append(np.full((size.height, size.width, 3), ink, np.uint8))
    return board_of(front_codes(empty_mount(plan), plan, pictures))


def where(front: Codes, ink: tuple[int, int, int]) -> tuple[int, int, int, int]:
    """Return left, top, right and bottom of what is nearest to an ink."""
    away = np.abs(front.astype(int) - ink).max(axis=2)
    mask = away < 40
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    return int(columns[0]), int(rows[0]), int(columns[-1]) + 1, int(rows[-1]) + 1


def test_the_windows_of_a_diptych_lie_where_their_borders_and_bar_say() -> None:
    # 93.85 mm are 369.49 px, 268.1 mm are 1055.51 px; 5 3/4 in wide, and 155.575 mm from above.
    front = front_of(plan_of(a_mount(), "long 6 in", (3600, 2400), (3600, 2400)))
    assert front.shape == (1600, 2000, 3)
    assert where(front, INKS[0]) == pytest.approx((369.49, 612.5, 944.49, 987.5), abs=TO_A_PIXEL)
    assert where(front, INKS[1]) == pytest.approx((1055.51, 612.5, 1630.51, 987.5), abs=TO_A_PIXEL)


def test_a_grid_is_read_row_by_row() -> None:
    plan = plan_of(a_mount(), "long 5 in", *[(3000, 3000)] * 4, arrangement="grid 2x2")
    front = front_of(plan)
    # 68.45 and 217.3 mm across, 119.25 and 268.1 mm down.
    places = [where(front, ink)[:2] for ink in INKS]
    assert places[0] == pytest.approx((269.49, 469.49), abs=TO_A_PIXEL)
    assert places[1] == pytest.approx((855.51, 469.49), abs=TO_A_PIXEL)
    assert places[2] == pytest.approx((269.49, 1055.51), abs=TO_A_PIXEL)
    assert places[3] == pytest.approx((855.51, 1055.51), abs=TO_A_PIXEL)


def test_a_quarter_inch_of_an_inner_mat_is_seen() -> None:
    inner = Mat(inches("1/4"), millimetres("1.4"), colour="black")
    front = front_of(plan_of(a_mount(inner=(inner,)), "8x10 in", (2400, 3000)))
    # In a row through the middle: 7.75 in of picture, and 25 px of black on either side of it,
    # a bevel of 5.51 px away.
    row = front[1000]
    dark = np.flatnonzero((row < 70).all(axis=1))
    left, right = dark[dark < 800], dark[dark >= 800]
    assert (len(left), len(right)) == pytest.approx((25, 25), abs=TO_A_PIXEL)
    picture = where(front, INKS[0])
    assert (picture[0], picture[2]) == pytest.approx((412.5, 1187.5), abs=TO_A_PIXEL)
    assert picture[0] - left[-1] - 1 == pytest.approx(5.51, abs=TO_A_PIXEL)


def test_an_oval_window_is_an_ellipse() -> None:
    front = front_of(plan_of(a_mount(shape=WindowShape.OVAL), "8x10 in", (2400, 3000)))
    seen = np.abs(front.astype(int) - INKS[0]).max(axis=2) < 60
    # The area of an ellipse of 7.75 x 9.75 in, pi / 4 of its box; the shade at its edge is dark.
    assert seen.sum() == pytest.approx(np.pi / 4 * 775 * 975, rel=0.01)
    assert where(front, INKS[0]) == pytest.approx((412.5, 512.5, 1187.5, 1487.5), abs=3)
    assert tuple(front[520, 420]) == tuple(front[100, 100])


def test_a_floating_print_shows_its_paper_and_the_board_round_it() -> None:
    floating: dict[str, Any] = {"window": WindowKind.FLOAT, "overlap": ZERO}
    mount = a_mount(
        **floating,
        paper=inches("1/2"),
        gap=inches("1/4"),
        mat_colour="black",
        backing_colour="grey",
    )
    row = front_of(plan_of(mount, "8x10 in", (2400, 3000)))[1000]
    white = np.flatnonzero((row > 250).all(axis=1))
    # The image from 400 to 1200 px, half an inch of paper on either side, then 1/4 in of board.
    assert (white[0], white[-1] + 1) == pytest.approx((350, 1250), abs=TO_A_PIXEL)
    assert tuple(row[360]) == (255, 255, 255)
    grey = np.flatnonzero((abs(row.astype(int) - 141) < 40).all(axis=1))
    assert grey[0] == pytest.approx(325, abs=8)  # the bevel's face is grey as well


def test_a_surround_is_as_white_as_the_paper_and_its_keyline_is_drawn() -> None:
    mount = no_window(window=WindowKind.SURROUND, keyline=millimetres(2))
    front = front_of(plan_of(mount, "8x10 in", (2400, 3000)))
    assert tuple(front[50, 50]) == (255, 255, 255)
    dark = np.flatnonzero((front[1000] < 60).all(axis=1))
    assert dark[0] == pytest.approx(400 - 7.87, abs=TO_A_PIXEL)


def test_two_pictures_in_a_common_window_have_paper_between_them() -> None:
    reveal: dict[str, Any] = {"window": WindowKind.REVEAL, "overlap": ZERO}
    mount = a_mount(
        **reveal, reveal=inches("1/2"), reveal_bottom=inches("1/2"), common=True, bar=inches(1)
    )
    front = front_of(plan_of(mount, "long 5 in", (3000, 3000), (3000, 3000)))
    middle = front.shape[1] // 2
    assert tuple(front[front.shape[0] // 2, middle]) == (255, 255, 255)
    left, right = where(front, INKS[0]), where(front, INKS[1])
    assert right[0] - left[2] == pytest.approx(100, abs=2 * HALF_PIXEL)


def test_a_mount_of_one_picture_is_drawn_the_same_whatever_its_bar() -> None:
    plan = plan_of(a_mount(), "8x10 in", (2400, 3000))
    other = plan_of(replace(a_mount(), bar=inches(3)), "8x10 in", (2400, 3000))
    assert np.array_equal(front_of(plan), front_of(other))
