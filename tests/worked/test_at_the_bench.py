"""One mount of each shipped kind, from the ruler's reading to the finished border, on paper.

Every picture is 3 to 2 and was asked for as 12 x 8 in, on a board of 20 x 16 in, and came 1 %
small: 11 7/8 x 7 29/32 in by the ruler. The rule asks for 10 in on the longest side and 4 in on the
shortest. The cutter is led by hand: each cut may be 1 mm off, and so may the print; the ruler's
1/32 in (0.794 mm) is contained in that. A bevel of 4-ply is 1.4 mm (0.055 in) wide. Marks are
1/16 in apart. No figure has an outside source: all are sums of these, with their working beside
them.
"""

import pytest

from proofs.lengths import Unit, inches, millimetres
from proofs.measures import read_size
from proofs.records.cutters import Cutter
from proofs.records.job import Job
from proofs.records.rules import BoardRule, Rules, VisibleRule
from tests.workbench import HAND, RAIL, SHIPPED, a_job, some_rules
from tests.worked.bench import Worked, worked

SMALL = "11 7/8 x 7 29/32 in"
SHEET = "14 x 11 in"
RULES = some_rules(
    board=BoardRule(read_size("16x20 in"), exact=True, either_way=True),
    visible=VisibleRule(longest_least=inches(10), shortest_least=inches(4), sums=True),
)


def job_of(mount: str, rules: Rules = RULES, cutter: Cutter = HAND) -> Job:
    lab = SHIPPED.lab("srgb-jpeg-300")
    return a_job(SHIPPED.mount(mount), rules, cutter=cutter, lab=lab)


# Width 11.875 - 2/8 = 11.625, height 7.906 - 2/8 = 7.656, down to 7 5/8. Borders (20 - 11.625) / 2
# and (16 - 7.625) / 2, both 4.1875. Least 10 + 2 mm = 10.079, so 10 1/8, and 4 + 2 mm = 4.079, so 4
# 1/8. Most 11.875 - 2 mm = 11.796, so 11 3/4, and 7.906 - 2 mm = 7.828, so 7 13/16. Overlap 3.175
# mm and (7.906 - 7.625) / 2 = 0.141 in = 3.572 mm, less 1 + 1 mm. The mat covers (11 - 7.625) / 2 =
# 1 11/16 in of the sheet at the top: hinges of 3/8 in, the longest there are.
OVERLAP = Worked(
    openings=("11 5/8 x 7 5/8",),
    borders=("4 3/16, 4 3/16, 4 3/16, 4 3/16",),
    visible=("11 5/8 x 7 5/8",),
    least=("10 1/8 x 4 1/8",),
    most=("11 3/4 x 7 13/16",),
    left_mm=(1.175, 1.572),
    held=("hinges 3/8",),
)
# 3/16 in of overlap: 11.875 - 0.375 = 11.5, 7.906 - 0.375 = 7.531, down to 7 1/2. 16 - 7.5 = 8.5 in
# of borders; 1/2 in more below than above, as the profile's placing says: 4 and 4 1/2. Overlap
# 4.763 mm and (7.906 - 7.5) / 2 = 5.159 mm, less 2 mm. Limits as before: they know no overlap.
BOTTOM_WEIGHTED = Worked(
    openings=("11 1/2 x 7 1/2",),
    borders=("4 1/4, 4, 4 1/4, 4 1/2",),
    visible=("11 1/2 x 7 1/2",),
    least=("10 1/8 x 4 1/8",),
    most=("11 3/4 x 7 13/16",),
    left_mm=(2.763, 3.159),
    held=("hinges 3/8",),
)
# The same sizes at the optical centre: 16 - 7.5 = 8.5 in of borders, of which (8.5)(20 + 11.5) / 80
# = 3.347 lie above, so 3 3/8 on the marks, and 5 1/8 below. (The construction: see the module
# `plan/entry/layout`.)
EIGHT_PLY = Worked(
    openings=("11 1/2 x 7 1/2",),
    borders=("4 1/4, 3 3/8, 4 1/4, 5 1/8",),
    visible=("11 1/2 x 7 1/2",),
    least=("10 1/8 x 4 1/8",),
    most=("11 3/4 x 7 13/16",),
    left_mm=(2.763, 3.159),
    held=("hinges 3/8",),
)
# The face limits the view and is 2 x 1.4 mm = 0.110 in smaller than the back. Face wanted 11.875 -
# 0.375 = 11.5, so 11.610 at the back, down to 11 9/16; 7.531 + 0.110 = 7.641, so 7 5/8. 20 -
# 11.5625 = 8.4375: 4 3/16 and 4 1/4. Visible 11.452 x 7.515. Least 10.079 + 0.110 = 10.189, so 10
# 1/4, and 4.189, so 4 1/4. Most 11.796 + 0.110 = 11.906, so 11 7/8; 7.8275 + 0.1102 = 7.9378, just
# above 7 15/16. Overlap (11.875 - 11.452) / 2 = 5.369 mm and (7.906 - 7.515) / 2 = 4.972 mm.
REVERSE = Worked(
    openings=("11 9/16 x 7 5/8",),
    borders=("4 3/16, 4 3/16, 4 1/4, 4 3/16",),
    visible=("11.45 x 7.51",),
    least=("10 1/4 x 4 1/4",),
    most=("11 7/8 x 7 15/16",),
    left_mm=(3.369, 2.972),
    held=("hinges 3/8",),
)
# The bottom mat as the single one. It shows 1/4 in beside the back of the top mat, and its bevel of
# 0.055 in: 0.305, so 5/16 on the marks. Top mat 11.625 + 5/8 = 12 1/4, 7.625 + 5/8 = 8 1/4, borders
# 4 3/16 - 5/16 = 3 7/8.
DOUBLE = Worked(
    openings=("12 1/4 x 8 1/4", "11 5/8 x 7 5/8"),
    borders=("3 7/8, 3 7/8, 3 7/8, 3 7/8", "4 3/16, 4 3/16, 4 3/16, 4 3/16"),
    visible=("11 5/8 x 7 5/8",),
    least=("10 1/8 x 4 1/8",),
    most=("11 3/4 x 7 13/16",),
    left_mm=(1.175, 1.572),
    held=("hinges 3/8",),
)
# 1/4 in of paper, 3/8 below: 11.875 + 0.5 = 12 3/8; 7.906 + 0.625 = 8.531, nearest 8 1/2, which
# leaves 15/64 above and 23/64 below. Borders (20 - 12.375) / 2 = 3 13/16, (16 - 8.5) / 2 = 3 3/4.
# The image is visible whole. Least: paper all round, 11.875 + 2 mm = 11.954, so 12; the image is
# 1/16 above the middle, so 7.906 + 2 mm + 1/8 = 8.110, so 8 1/8. Most: the sheet of 14 x 11 in,
# less 2 mm, 13.921, so 13 7/8; its middle too is 1/16 above that of the opening: 11 - 0.079 - 0.125
# = 10.796, so 10 3/4. Paper left 6.35 mm and 15/64 in = 5.953 mm, less 2 mm. Hinges: 11/2 - 8.5/2 +
# 1/16 covered.
REVEAL = Worked(
    openings=("12 3/8 x 8 1/2",),
    borders=("3 13/16, 3 3/4, 3 13/16, 3 3/4",),
    visible=("11 7/8 x 7 29/32",),
    least=("12 x 8 1/8",),
    most=("13 7/8 x 10 3/4",),
    left_mm=(4.35, 3.953),
    held=("hinges 3/8",),
)
# 1/2 in of its own paper: trimmed to 12.875 x 8.906, of a sheet of 14 x 11. Gap 1/4 in: 13.375, and
# 9.406, nearest 9 3/8. Borders (20 - 13.375) / 2 = 3 5/16, (16 - 9.375) / 2 = 3 5/16. Least: clear
# of the print by 1 mm, 12.875 + 0.079 = 12.954, so 13, and 8.985, so 9. Most: the mount keeps 1 1/2
# in at the face, 17 less the two bevels of 8-ply (0.220 in), 16.78, so 16 3/4, and 13 - 0.22, so 12
# 3/4. Gap 6.35 mm and (9.375 - 8.906) / 2 = 5.953 mm, less 2 mm.
FLOAT_IN_WINDOW = Worked(
    openings=("13 3/8 x 9 3/8",),
    borders=("3 5/16, 3 5/16, 3 5/16, 3 5/16",),
    visible=("11 7/8 x 7 29/32",),
    least=("13 x 9",),
    most=("16 3/4 x 12 3/4",),
    left_mm=(4.35, 3.953),
    trim=("12 7/8 x 8 29/32",),
    held=("dry-mounted 0",),
)
# The same paper on the board: (20 - 12.875) / 2 = 3 9/16, (16 - 8.90625) / 2 = 3.547 = 3 35/64.
FLOAT = Worked(
    openings=(),
    borders=("3 9/16, 3 35/64, 3 9/16, 3 35/64",),
    visible=("11 7/8 x 7 29/32",),
    trim=("12 7/8 x 8 29/32",),
    held=("dry-mounted 0",),
)
# Trimmed along the image: (20 - 11.875) / 2 = 4 1/16, (16 - 7.90625) / 2 = 4.047 = 4 3/64.
NO_WINDOW = Worked(
    openings=(),
    borders=("4 1/16, 4 3/64, 4 1/16, 4 3/64",),
    visible=("11 7/8 x 7 29/32",),
    trim=("11 7/8 x 7 29/32",),
    held=("dry-mounted 0",),
)
# The surround is printed: its paper is trimmed to the board, and the borders are those of the
# image.
SURROUND = Worked(
    openings=(),
    borders=("4 1/16, 4 3/64, 4 1/16, 4 3/64",),
    visible=("11 7/8 x 7 29/32",),
    trim=("20 x 16",),
    held=("dry-mounted 0",),
)


@pytest.mark.parametrize(
    ("mount", "sheet", "by_hand"),
    [
        ("overlap-white", "", OVERLAP),
        ("overlap-wide-off-white", "", BOTTOM_WEIGHTED),
        ("overlap-8-ply", "", EIGHT_PLY),
        ("reverse-bevel", "", REVERSE),
        ("double-white", "", DOUBLE),
        ("oval-white", "", OVERLAP),  # its four ends lie where the sides of a rectangle would
        ("reveal-white", SHEET, REVEAL),
        ("float-window", SHEET, FLOAT_IN_WINDOW),
        ("float-bare", SHEET, FLOAT),
        ("no-window", SHEET, NO_WINDOW),
        ("printed-surround", "24 x 20 in", SURROUND),
    ],
)
def test_a_mount_of_each_kind_comes_out_as_by_hand(mount: str, sheet: str, by_hand: Worked) -> None:
    assert worked(job_of(mount), "12x8 in", SMALL, sheet=sheet) == by_hand


def test_two_windows_on_one_board_come_out_as_by_hand() -> None:
    # 7 1/2 x 5 in each, 7 13/32 x 4 15/16 in by the ruler. Less 1/8 in on each side 7.156 x 4.6875,
    # so 7 1/8 x 4 11/16. Planned 7 1/4 x 4 3/4 in, 1 in of bar at the face and so 1.110 at the
    # back; 20 - 14.5 - 1.110 = 4.39 in for two borders of 2.195: 2 3/16. The opening, smaller by
    # 1/8 in, keeps its middle, which is 2.195 + 3.625 = 5.820 from the left: 5.820 - 3.5625 =
    # 2.257, so 2 1/4 in. The other border of each is what is left: 20 - 2.25 - 7.125 = 10 5/8. (16
    # - 4.6875) / 2 = 5.656: 5 5/8 or 5 11/16. Least 4 + 2 mm each; most 7.406 - 0.079 = 7.327, so 7
    # 5/16, and 4.859, so 4 13/16.
    found = worked(job_of("overlap-black"), "7.5x5 in | 7.5x5 in", *["7 13/32 x 4 15/16 in"] * 2)
    assert found.openings == ("7 1/8 x 4 11/16",) * 2
    assert found.borders == (
        "2 1/4, 5 5/8, 10 5/8, 5 11/16",
        "10 5/8, 5 5/8, 2 1/4, 5 11/16",
    )
    assert found.least == ("4 1/8 x 4 1/8",) * 2
    assert found.most == ("7 5/16 x 4 13/16",) * 2


def test_a_metric_mount_comes_out_as_by_hand() -> None:
    # 30 x 20 cm on 50 x 40 cm, 297 x 198 mm by the ruler; a rail cuts to 0.5 mm and is set to 1 mm.
    # Less 3.175 mm on each side 290.65 x 191.65, so 290 x 191. (500 - 290) / 2 = 105; 400 - 191 =
    # 209 is 104 and 105. Least 260 + 1 = 261; nothing limits the other side. Most: 297 - 2 = 295
    # leaves nothing when the print lies 1 mm off, so 294; 198 - 2 = 196 likewise, so 195. Overlap
    # 3.5 mm less 0.5 and 1 mm. The mat covers (11 in - 191 mm) / 2 = 44 mm at the top: hinges of
    # 3/8 in.
    rules = some_rules(
        unit=Unit.MM,
        board=BoardRule(read_size("40x50 cm"), exact=True, either_way=True),
        visible=VisibleRule(longest_least=millimetres(260)),
    )
    found = worked(job_of("overlap-white", rules, RAIL), "30x20 cm", "297 x 198 mm")
    assert found == Worked(
        openings=("290 x 191",),
        borders=("105, 104, 105, 105",),
        visible=("290 x 191",),
        least=("261 x 0",),
        most=("294 x 195",),
        left_mm=(2.0, 2.0),
        held=("hinges 9.53",),
    )
