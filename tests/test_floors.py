"""The floors of the program: a module imports only from those below it.

``FLOORS`` lists every module, lowest first, a folder a line. Whoever adds a module adds its
name here, behind all that it imports.
"""

import ast
import sys
from itertools import chain
from pathlib import Path

import pytest

PROGRAM = Path(__file__).parents[1] / "proofs"

FLOORS = (
    ("", "errors lengths measures both_units densities findings pixel_areas"),
    (
        "records",
        "cells arrangements rows dialects faults tables prices rules mounts papers lab_charges",
    ),
    (
        "records",
        "labs cutters lights stock timetables page_sizes label_sheets metadata_wish job columns",
    ),
    ("records", "ruler_readings"),
    ("records", "size_and_crop entries new_pictures json_values stored_values toml_lines"),
    ("records", "inspections spotted shelf"),
    ("records/questionnaires", "question exhibition bench printing toml_text kinds"),
    ("records", "profile_kinds"),
    ("plan/tones", "appearance metering tone viewing wedge"),
    ("plan/sheets", "placing"),
    ("plan/entry", "board facts hanging layout naming tolerances sizing in_openings edge_prints"),
    ("plan/entry", "arranging planning mockup trims"),
    ("plan/checks", "outcomes limits room on_ruler size_checks gauges remedies mount_checks"),
    ("plan/checks", "hidden_checks cheaper_sheets checking"),
    ("plan/sheets", "margin_line printed_pieces strip_sheet strip_packing"),
    ("plan/delivery", "zip_parts catalogue delivery_names deliveries order_totals refusals"),
    ("plan/delivery", "lab_sheets"),
    ("plan/delivery", "file_checks soft_proofs"),
    ("plan/making", "keys recipes keeping"),
    ("plan/cutting", "marks tiling templates corners cut_lines openings rounding staircases"),
    ("plan/cutting", "opening_limits opening_search arrival mount_kinds settings"),
    ("plan/bench", "timetable nesting buying shelved offers materials weights labels mounting"),
    ("plan/bench", "packing"),
    ("plan/wall", "hang"),
    ("plan/season", "exhibitions sharing"),
    ("inspection", "colour_difference tone_figures margins connected_components uniform_edges"),
    ("inspection", "wedge_pose wedge_light wedge_reflection wedge_reading wedge_finding"),
    ("inspection", "representative_area marks print_view strip_colours mixed_strips"),
    ("inspection", "even_strips lost_edges lost_tones"),
    ("inspection", "block_medians lightness_levels edge_sharpness speck_candidates speck_shapes"),
    ("inspection", "speck_features speck_crowds"),
    ("inspection", "speck_score specks line_response line_profiles line_tracing line_features"),
    ("inspection", "line_score lines"),
    ("inspection", "streak_shape streaks"),
    ("inspection", "mark_words ticks inspected frames_and_rules look_findings look_crops not_seen"),
    ("pages", "setting drawing typography stamp manual_text flow facts mount_drawing ruler"),
    ("pages", "table headings tone_curves wording columns"),
    ("pages/proof_sheet", "verdict bracket_curves entry_facts faults_drawn to_fill_in gauge_bar"),
    ("pages/proof_sheet", "step_grid steps_drawn life_size whole_mount entry_head entry_frame"),
    ("pages/proof_sheet", "entry_page run_table summary hang_page sheet"),
    ("pages/strip", "key reading_plot sheet"),
    ("pages/bench", "left_out shelf materials mounting packing timetable"),
    ("pages/cutting", "dimensions prints_table mat_drawing mat_facts limits_table steps guide"),
    ("pages/cutting", "all_cuts"),
    ("pages/bench", "pages"),
    ("pages/templates", "tile frame figures pages"),
    ("pages/labels", "face front_and_back pages"),
    ("pages/delivery", "totals order_lists ticket margin_line"),
    ("pages/soft_proof", "entry pages"),
    ("pages/inspection", "results leaders whole_picture crops picture_page pages"),
    ("outside", "files picture_folder versions temporary_folders public_holidays profiles"),
    ("outside", "delivery_folder delivery_source zips fonts calendar"),
    ("outside", "marks_on_pixels sheet_pictures loss_picture qr machine manual schemas"),
    ("outside", "shared_folder cluster"),
    (
        "outside",
        "fault_log locks user_cache digest_cache run_record earlier_runs run_folder streams",
    ),
    ("outside/pixels", "vips"),
    ("outside/pixels/colour", "icc cielab linear_light matrix_models spaces screen_cielab"),
    ("outside", "png bevels ground back_drawing mockups hang_drawing strip_drawing"),
    ("outside", "pdf_colour pdf"),
    ("outside", "margin_line_drawing page_pdfs bench_pdfs"),
    ("outside/pixels/colour", "output_space"),
    ("outside/pixels/conversion", "extended_range"),
    ("outside/pixels/colour", "pixel_cielab"),
    ("outside/pixels/conversion", "grey matrix clut"),
    ("outside/pixels/metadata", "iptc"),
    ("outside/pixels", "photograph_errors"),
    ("outside/pixels/resize", "separable_filters resampling sharpening"),
    ("outside/pixels/source", "cmyk"),
    ("outside/pixels/colour", "profiled_image"),
    ("outside/pixels/measure", "edge_lines"),
    ("outside/pixels/source", "file_bytes file_parts tiff_tags tiff_directories resolutions"),
    ("outside/pixels/source", "file_header jpeg_quality"),
    ("outside/pixels/metadata", "extract credit stated embed other_blocks"),
    ("outside/pixels/source", "source_profile main_image ycbcr pixel_format tiff_cielab"),
    ("outside/pixels/source", "normalise loading file_limits decode"),
    ("outside/pixels/resize", "print_size samples screen_size"),
    ("outside/pixels/conversion", "convert screen_sets"),
    ("outside/pixels/prints", "format_limits encoding"),
    ("outside/pixels/prints", "specimen"),
    ("outside", "page_prints"),
    ("outside/pixels/measure", "scans"),
    ("outside", "card"),
    ("outside/pixels/measure", "soft_proof"),
    ("outside/pixels/prints", "catalogue_copies"),
    ("outside/pixels/measure", "lightness print_sides print_inspection"),
    ("outside/pixels/prints", "composition file_facts"),
    ("run", "finished_under inputs file_metadata json_report print_files text_report step_tones"),
    ("run", "preflight interrupts worker_processes workers readings printable entry_table"),
    ("run", "source_digests made_with"),
    ("run", "fitness cluster_order cluster_workers"),
    ("run", "representative_part ticks shelf shelf_offers"),
    ("commands/inspect", "order view worker kept looks beforehand record run text"),
    ("commands/soft_proof", "worker run"),
    (
        "commands/make",
        "order page_pictures mount_pictures worker estimate recipes entry_outcome entries",
    ),
    ("commands/make", "sheet hang_picture run"),
    ("commands/strip", "record worker layout kept proof_prints run"),
    ("commands/delivery", "order worker kept catalogue record companions packing run text"),
    ("commands/delivery", "record_reading"),
    ("commands/verify", "parts records run text"),
    ("commands/mount", "record thumbnails run"),
    ("commands/season", "run text record"),
    ("commands/measure", "worker text tables"),
    ("commands/profiles", "check listing new"),
    ("commands", "arrived choose light strip_read"),
    ("cli", "options output entry_lines profiles_new profiles choose strip_read verify start"),
    (
        "cli",
        "check season light arrived progress mount inspect make strip measure deliver main manual",
    ),
    ("", "__main__"),
)
ORDER = tuple(
    ".".join(["proofs", *filter(None, folder.split("/")), name])
    for folder, names in FLOORS
    for name in names.split()
)
PURE = ORDER[: next(n for n, m in enumerate(ORDER) if m.startswith("proofs.inspection."))]
BELOW_OUTSIDE = ORDER[: ORDER.index("proofs.outside.files")]
NOT_OUTSIDE = [module for module in ORDER if not module.startswith("proofs.outside.")]

# What touches the world, or changes from one run to the next.
WORLDLY = {
    *("importlib", "io", "logging", "os", "pathlib", "random", "secrets", "shutil", "socket"),
    *("subprocess", "tempfile", "time", "urllib"),
}
OPENERS = {
    *("open", "fdopen", "mkstemp", "NamedTemporaryFile", "TemporaryFile", "read_text"),
    *("read_bytes", "write_text", "write_bytes", "touch", "unlink", "mkdir"),
}
CLOCKS = {"now", "today", "utcnow"}


def path_of(module: str) -> Path:
    """Return the file of a module."""
    return PROGRAM.parent / (module.replace(".", "/") + ".py")


def modules_there_are() -> set[str]:
    """Return every module of the program, without the folders' own ``__init__``."""
    files = (path.relative_to(PROGRAM.parent) for path in PROGRAM.rglob("*.py"))
    return {".".join(f.with_suffix("").parts) for f in files if f.name != "__init__.py"}


def imports_in(source: str) -> set[str]:
    """Return the modules that a source text imports; of the program's own, each by itself."""
    found = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        if isinstance(node, ast.ImportFrom):
            name = "." * node.level + (node.module or "")
            inside = {f"{name}.{alias.name}" for alias in node.names}
            modules = inside & set(ORDER)
            found |= modules
            found |= {name} if modules != inside else set()
    return found


def own_imports(module: str) -> set[str]:
    """Return what a module imports of the program; its version is no module."""
    found = imports_in(path_of(module).read_text("utf-8"))
    return {i for i in found if i.startswith((".", "proofs."))}


def libraries_of(module: str) -> set[str]:
    """Return the top names of all else that a module imports."""
    found = imports_in(path_of(module).read_text("utf-8"))
    return {i.split(".")[0] for i in found if not i.startswith((".", "proofs"))}


def users_of(library: str) -> set[str]:
    """Return the modules that import a library."""
    return {module for module in ORDER if library in libraries_of(module)}


def calls_in(source: str, names: set[str]) -> list[str]:
    """Return the calls of these names: methods, and ``open`` by itself."""
    calls = [node.func for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call)]
    bare = [f.id for f in calls if isinstance(f, ast.Name) and f.id == "open"]
    methods = [f.attr for f in calls if isinstance(f, ast.Attribute)]
    return [name for name in chain(bare, methods) if name in names]


def test_the_list_holds_every_module_there_is_and_no_other() -> None:
    assert set(ORDER) == modules_there_are()


def test_no_module_stands_on_the_list_twice() -> None:
    assert len(ORDER) == len(set(ORDER))


@pytest.mark.parametrize("module", ORDER)
def test_a_module_imports_only_from_those_before_it(module: str) -> None:
    assert own_imports(module) - set(ORDER[: ORDER.index(module)]) == set()


@pytest.mark.parametrize("module", PURE)
def test_decisions_import_the_standard_library_alone(module: str) -> None:
    assert libraries_of(module) - set(sys.stdlib_module_names) == set()


@pytest.mark.parametrize("module", BELOW_OUTSIDE)
def test_what_lies_below_outside_imports_nothing_that_touches_the_world(module: str) -> None:
    assert libraries_of(module) & WORLDLY == set()


@pytest.mark.parametrize("module", BELOW_OUTSIDE)
def test_what_lies_below_outside_asks_no_clock(module: str) -> None:
    assert calls_in(path_of(module).read_text("utf-8"), CLOCKS) == []


@pytest.mark.parametrize("module", NOT_OUTSIDE)
def test_files_are_opened_only_outside(module: str) -> None:
    assert calls_in(path_of(module).read_text("utf-8"), OPENERS) == []


@pytest.mark.parametrize(
    ("library", "owners"),
    [
        ("pyvips", {m for m in ORDER if m.startswith("proofs.outside.pixels.")}),
        ("reportlab", {f"proofs.outside.{name}" for name in ("pdf", "pdf_colour", "fonts")}),
        ("segno", {"proofs.outside.qr"}),
        ("tifffile", {"proofs.outside.pixels.prints.encoding"}),
        ("imagecodecs", {"proofs.outside.pixels.prints.encoding", "proofs.outside.png"}),
        ("distributed", {"proofs.outside.cluster"}),
        ("click", {m for m in ORDER if m.startswith("proofs.cli.")}),
    ],
)
def test_a_library_has_one_owner(library: str, owners: set[str]) -> None:
    assert users_of(library) - owners == set()


@pytest.mark.parametrize("path", sorted(PROGRAM.rglob("__init__.py")))
def test_the_folders_own_modules_import_nothing(path: Path) -> None:
    assert imports_in(path.read_text("utf-8")) == set()


@pytest.mark.parametrize(
    ("source", "imports"),
    [
        ("import proofs.plan.entry.layout", {"proofs.plan.entry.layout"}),
        (
            "from proofs.plan.entry import layout, sizing",
            {"proofs.plan.entry.layout", "proofs.plan.entry.sizing"},
        ),
        ("from proofs.plan.entry.layout import lay_out", {"proofs.plan.entry.layout"}),
        ("def f():\n    from proofs.cli import main", {"proofs.cli.main"}),
        ("from proofs.plan import unheard_of", {"proofs.plan"}),
        ("from .layout import lay_out", {".layout"}),
        ("import os.path, re", {"os.path", "re"}),
    ],
)
def test_an_import_is_found_however_it_is_written(source: str, imports: set[str]) -> None:
    assert imports_in(source) == imports


@pytest.mark.parametrize(
    "source", ["open('a')", "Path('a').read_text()", "path.open()", "os.fdopen(3)", "p.mkdir()"]
)
def test_a_call_that_opens_a_file_is_found(source: str) -> None:
    assert len(calls_in(source, OPENERS)) == 1
