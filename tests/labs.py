"""Labs of our own with small sheets, so that a delivery is made in a moment: all made up."""

from pathlib import Path

JPEG = """
title = "A small lab"
source = "made up"

[file]
ppi = 150
format = "jpeg"
quality = 92

[colour]
profile = "srgb"

[print]
sheets = ["5x7 in", "8x10 in", "8x12 in"]
margin = "1/8 in"
edge_loss = "1/8 in"
scale_error = 0.005
papers = ["Lustre", "Cotton"]
finishes = ["matt", "silk"]
prices = ["5x7 in: 2.50", "8x10 in: 6.00", "8x12 in: 4,75"]
currency = "EUR"
"""
TIFF = """
title = "A small lab that takes TIFF"
source = "made up"

[file]
ppi = 120
format = "tiff"
bits = 16
compression = "none"

[colour]
profile = "a98-rgb"

[print]
sheets = ["8x10 in"]
margin = "5 mm"

[upload]
most_bytes = "15 MB"
"""


def write_labs(folder: Path) -> None:
    """Write the labs ``small`` and ``small-tiff`` beside an entries file."""
    labs = folder / "profiles" / "labs"
    labs.mkdir(parents=True)
    (labs / "small.toml").write_text(JPEG, encoding="utf-8")
    (labs / "small-tiff.toml").write_text(TIFF, encoding="utf-8")
