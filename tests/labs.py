"""Labs of our own with small sheets, so that a delivery is made in a moment: all made up."""

from pathlib import Path

import numpy as np

from proofs.outside.pixels.colour import spaces
from tests.outside.pixels.little_cms import printer_profile
from tests.outside.pixels.pictures import tiff

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
PAPER = """
title = "A lab with its paper's profile"
source = "made up"

[file]
ppi = 100
format = "tiff"

[colour]
profile = "rag.icc"

[print]
sheets = ["16x20 in"]
"""
RAG = np.array([0.87, 0.90, 0.763])
SCREEN_RULES = """
title = "Rules with a screen"
source = "made up"

[catalogue]
width_px = 240
height_px = 160
most_bytes = "50 kB"
least_quality = 60
name = "{category}_{number}-{title}"
title_inside = true
"""


def write_paper_lab(folder: Path, soft: str = "") -> None:
    """Write the lab ``rag``, with its paper's profile; ``soft`` are more lines of it."""
    labs = folder / "profiles" / "labs"
    labs.mkdir(parents=True, exist_ok=True)
    (labs / "rag.icc").write_bytes(printer_profile(RAG))
    (labs / "rag.toml").write_text(PAPER + soft, encoding="utf-8")


def write_screen_rules(folder: Path) -> None:
    """Write the rules ``screen``, which ask for small copies with their title inside."""
    rules = folder / "profiles" / "rules"
    rules.mkdir(parents=True)
    (rules / "screen.toml").write_text(SCREEN_RULES, encoding="utf-8")


def greens(path: Path) -> None:
    """Save a picture of a green that no paper of the lab ``rag`` shows."""
    codes = np.full((200, 300, 3), [10, 240, 30], "u1")
    tiff(path, codes, icc_profile=spaces.built_in_profile("a98-rgb"))


def write_labs(folder: Path) -> None:
    """Write the labs ``small`` and ``small-tiff`` beside an entries file."""
    labs = folder / "profiles" / "labs"
    labs.mkdir(parents=True, exist_ok=True)
    (labs / "small.toml").write_text(JPEG, encoding="utf-8")
    (labs / "small-tiff.toml").write_text(TIFF, encoding="utf-8")
