"""Soft proofs against Little CMS and figures computed by hand.

Outside sources: the proofing transform and gamut check of Little CMS, through Pillow;
CIEDE2000 and the colours of the built-in spaces by colour-science; ICC.1:2022, 6.3.2, for what
a paper's white does to colours (from memory). The printer is made up.
"""

from pathlib import Path

import numpy as np
import pytest
import pyvips
from PIL import ImageCms

from proofs.inspection.colour_difference import colour_loss
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.output_space import lab_icc_profile
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.soft_proof import (
    ProofPixels,
    paper_colour,
    print_medium_of,
    proof_pixels,
)
from proofs.plan.delivery.soft_proofs import SEEN
from proofs.plan.entry.mockup import PAPER
from proofs.records.labs import Lab, RenderingIntent
from tests.outside.pixels import near, reference
from tests.outside.pixels.little_cms import COMPENSATED, INTENTS, printer_profile, proofed
from tests.outside.pixels.pictures import Array, as_rows, lab, natural_colours, profile

LIMIT = 4.0
RAG = np.array([57000, 59000, 50000]) / 65536  # a paper's XYZ in the profile's own numbers
NO_LOSS = 1e-6
EIGHT_BITS = 0.6  # CIEDE2000 of half an 8-bit code, at its worst near black
PRINTED = 0.06


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The labs' profiles by name: built-in ones by their own names, others as files."""
    folder = tmp_path_factory.mktemp("papers")
    (folder / "press.icc").write_bytes(vips.fallback_cmyk_profile())
    (folder / "rag.icc").write_bytes(printer_profile(RAG))
    (folder / "grey.icc").write_bytes(icc.build_grey_profile("Grey", icc.gamma_tag(2.2)))
    files = {name: str(folder / f"{name}.icc") for name in ("press", "rag", "grey")}
    return files | {name: name for name in ("srgb", "a98-rgb", "display-p3")}


def natural() -> Array:
    return as_rows((natural_colours(8) >> 8).astype("u1"), 50)


def base_of(codes: Array, source: str = "srgb") -> ProfiledImage:
    """An image with 8-bit codes."""
    wide = np.ascontiguousarray(codes.astype(np.uint16) * 257)
    image = pyvips.Image.new_from_array(wide, interpretation="rgb16")
    return ProfiledImage(image, profile(source))


def spot(source: str, codes: list[int], own: Lab) -> ProofPixels:
    return proof_pixels(base_of(np.array([[codes]]), source), own, 0.0)


@pytest.mark.parametrize("space", ["srgb", "a98-rgb", "display-p3"])
def test_a_picture_already_in_the_labs_space_loses_nothing(space: str) -> None:
    found = proof_pixels(base_of(natural(), space), lab(space=space), 0.0)
    assert found.loss.max() <= NO_LOSS
    assert colour_loss(found.loss, found.excess, LIMIT).beyond_share == 0


@pytest.mark.parametrize("space", ["a98-rgb", "display-p3"])
def test_srgb_loses_no_more_than_8_bits_in_a_larger_space(space: str) -> None:
    found = proof_pixels(base_of(natural()), lab(space=space), 0.0)
    figures = colour_loss(found.loss, found.excess, LIMIT)
    assert (figures.beyond_share, figures.lost_share) == (0, 0)
    assert np.percentile(found.loss, 99) < near.MOST_99TH


@pytest.mark.parametrize("codes", [[0, 255, 0], [0, 255, 255]])
def test_the_greens_of_adobe_rgb_lose_in_srgb_what_clipping_removes(codes: list[int]) -> None:
    # Light of 0 255 0 in sRGB is -0.398, 1, -0.043 (computed by colour-science): it is clipped to
    # 0 255 0 there. So is cyan.
    share = np.array(codes) / 255
    expected = reference.difference(
        reference.cielab_of("a98-rgb", share), reference.cielab_of("srgb", share)
    )
    found = spot("a98-rgb", codes, lab(space="srgb"))
    assert float(found.loss[0, 0]) == pytest.approx(float(expected), abs=PRINTED)
    assert found.excess[0, 0] == found.loss[0, 0] > SEEN
    assert found.on_screen[0, 0].tolist() == codes


@pytest.mark.parametrize("density", [0.0, 0.2])
def test_the_loss_is_from_the_colour_that_the_curve_requests(density: float) -> None:
    codes = as_rows(np.random.default_rng(9).integers(0, 256, (1000, 3)).astype("u1"), 50)
    asked = reference.darker(reference.cielab_of("a98-rgb", codes / 255), density)
    ideal, _ = reference.codes_of("srgb", asked)
    expected = reference.difference(asked, reference.cielab_of("srgb", ideal))
    got = proof_pixels(base_of(codes, "a98-rgb"), lab(bits=16), density).loss
    assert np.abs(got - expected).mean() < near.MEAN_16_BIT


@pytest.mark.parametrize("compensated", [True, False])
@pytest.mark.parametrize("paper", ["press", "rag", "srgb", "a98-rgb"])
@pytest.mark.parametrize("source", ["srgb", "a98-rgb", "romm"])
def test_the_paper_shows_what_little_cms_shows(
    papers: dict[str, str], source: str, paper: str, compensated: bool
) -> None:
    own, codes = lab(space=papers[paper], compensated=compensated), natural()
    got = proof_pixels(base_of(codes, source), own, 0.0).on_paper
    flags = COMPENSATED if compensated else 0
    expected = proofed(
        codes, profile(source), lab_icc_profile(own), flags=flags, shown=INTENTS["absolute"]
    )
    off = reference.difference(
        reference.cielab_of("srgb", got / 255), reference.cielab_of("srgb", expected / 255)
    )
    assert off.mean() <= near.MEAN_TO_LITTLE_CMS


@pytest.mark.parametrize("paper", ["press", "rag", "srgb"])
def test_what_little_cms_calls_out_of_gamut_is_out_of_gamut(
    papers: dict[str, str], paper: str
) -> None:
    # It marks with grey 127 from a threshold of its own; its check uses no compensation.
    own, codes = lab(space=papers[paper], compensated=False), natural()
    found = proof_pixels(base_of(codes, "romm"), own, 0.0)
    flags = int(ImageCms.Flags.GAMUTCHECK)
    shown = proofed(codes, profile("romm"), lab_icc_profile(own), flags=flags, shown=1)
    marked = (shown == 127).all(axis=-1)
    assert marked[found.excess > 2 * SEEN].all()
    assert (marked == (found.excess > SEEN)).mean() > 0.9
    assert 0.2 < marked.mean() < 0.6


def test_a_papers_white_and_darkest_tone_are_read_back(papers: dict[str, str]) -> None:
    # Its black has 0.015 of the light of its white by construction.
    medium = print_medium_of(lab(space=papers["rag"]))
    assert medium.white == pytest.approx(reference.cielab_of_xyz(RAG), abs=near.SINGLE)
    black = reference.cielab_of_xyz(RAG * 0.015)[0]
    assert medium.darkest == pytest.approx(black, abs=PRINTED)
    assert medium.name == "Made-up printer"


def test_a_printers_matrix_profile_gives_its_paper_but_no_black(tmp_path: Path) -> None:
    matrix = icc.tags(spaces.built_in_profile("srgb")) | {"wtpt": icc.xyz_tag(RAG)}
    header = icc.ProfileHeader("prtr", "RGB ", "XYZ ", 2)
    (tmp_path / "simple.icc").write_bytes(icc.build_profile(header, "Simple", matrix))
    medium = print_medium_of(lab(space=str(tmp_path / "simple.icc")))
    assert medium.white == pytest.approx(reference.cielab_of_xyz(RAG), abs=near.SINGLE)
    assert medium.darkest is None


def test_white_is_shown_as_the_paper_without_a_loss(papers: dict[str, str]) -> None:
    own = lab(space=papers["rag"])
    found = spot("srgb", [255, 255, 255], own)
    codes, _ = reference.codes_of("srgb", reference.cielab_of_xyz(RAG))
    assert np.abs(found.on_paper[0, 0] - codes * 255).max() <= near.CODE
    assert paper_colour(print_medium_of(own)) == tuple(found.on_paper[0, 0].tolist())
    assert found.loss[0, 0] < EIGHT_BITS
    assert found.on_screen[0, 0].tolist() == [255, 255, 255]


@pytest.mark.parametrize("paper", ["srgb", "a98-rgb", "display-p3", "grey"])
def test_a_space_that_is_not_a_papers_gives_no_white_and_no_black(
    papers: dict[str, str], paper: str
) -> None:
    medium = print_medium_of(lab(space=papers[paper]))
    assert (medium.white, medium.darkest) == (None, None)
    assert paper_colour(medium) == PAPER


def test_black_lifted_by_compensation_is_no_loss_and_without_it_is_one(
    papers: dict[str, str],
) -> None:
    with_it = spot("srgb", [0, 0, 0], lab(space=papers["rag"]))
    without = spot("srgb", [0, 0, 0], lab(space=papers["rag"], compensated=False))
    black = reference.cielab_of_xyz(reference.D50 * 0.015)
    expected = reference.difference(np.zeros(3), black)
    assert with_it.loss[0, 0] < EIGHT_BITS
    assert float(without.loss[0, 0]) == pytest.approx(float(expected), abs=near.PATCH_16)


def test_a_paper_that_must_keep_its_tint_to_show_white_loses_it(papers: dict[str, str]) -> None:
    found = spot("srgb", [255, 255, 255], lab(space=papers["rag"], intent=RenderingIntent.ABSOLUTE))
    wanted = reference.cielab_of_xyz(reference.D50 * reference.D50 / RAG)
    expected = reference.difference(wanted, np.array([100.0, 0, 0]))
    assert float(found.loss[0, 0]) == pytest.approx(float(expected), abs=near.PATCH_16)


def test_colours_in_gamut_are_not_out_of_it_because_of_table_errors(
    papers: dict[str, str],
) -> None:
    # The press profile errs by up to 4 in a round trip, even for colours surely in gamut.
    pale = (natural() * 0.3 + 130).astype("u1")
    found = proof_pixels(base_of(pale), lab(space=papers["press"]), 0.0)
    assert (found.loss > SEEN).mean() > 0.1
    assert (found.excess > SEEN).mean() == 0


def test_a_grey_lab_loses_the_colours_of_a_picture(papers: dict[str, str]) -> None:
    own = lab(space=papers["grey"])
    red = spot("srgb", [200, 40, 40], own)
    grey = spot("srgb", [119, 119, 119], own)
    assert red.loss[0, 0] > 20
    assert grey.loss[0, 0] < EIGHT_BITS


def test_a_grey_picture_can_be_proofed(papers: dict[str, str]) -> None:
    ramp = np.linspace(0, 65535, 64).astype(np.uint16)[None, :, None]
    image = pyvips.Image.new_from_array(ramp, interpretation="grey16")
    found = proof_pixels(
        ProfiledImage(image, spaces.built_in_profile("grey")), lab(space=papers["rag"]), 0.1
    )
    assert found.on_paper.shape == found.on_screen.shape == (1, 64, 3)
    assert found.excess.max() < SEEN


@pytest.mark.parametrize("paper", ["press", "rag", "srgb"])
@pytest.mark.parametrize("bits", [8, 16])
def test_files_of_8_and_16_bits_give_the_same_figures(
    papers: dict[str, str], paper: str, bits: int
) -> None:
    codes = natural()[:4]
    found = proof_pixels(base_of(codes, "romm"), lab(space=papers[paper], bits=bits), 0.1)
    other = proof_pixels(base_of(codes, "romm"), lab(space=papers[paper], bits=24 - bits), 0.1)
    assert np.abs(found.loss - other.loss).max() < 2 * EIGHT_BITS
