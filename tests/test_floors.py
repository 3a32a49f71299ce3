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
    ("", "errors lengths measures densities findings pixel_areas"),
    ("records", "words arrangements cells rows dialects headings entries newcomers tables"),
    ("records", "rules mounts papers labs cutters lights stock timetables page_sizes"),
    ("records", "label_sheets job readings"),
    ("plan", "facts board layout hanging tone sizing arranging planning naming appearance"),
    ("plan", "metering viewing sizes_checked rules_checked remedies checking together outcomes"),
    ("plan", "mockup wedge strips surround strip_foot strip_packing gamut catalogue placing"),
    ("plan", "pieces delivery_names refusals deliveries file_rules zip_parts copy_rules"),
    ("plan", "printed_steps marks recut cut_checks cutting cut_lines bands arrival bench"),
    ("plan", "settings board_kinds shelves nesting materials weights covered mounting packing"),
    ("plan", "timetable tiling templates labels margin_line lab_sheets"),
    ("inspection", "colour_difference tone_figures margins connected_components uniform_edges"),
    ("inspection", "wedge_pose wedge_light wedge_reading wedge_finding representative_area"),
    ("pages", "setting drawing typography stamp"),
    ("pages/proof_sheet", "columns facts mount pencil not_printed tone_curves curves verdict"),
    ("pages/proof_sheet", "entry parts sheet"),
    ("pages", "flow"),
    ("pages/strip", "key reading_plot ruler sheet"),
    ("pages/bench", "materials mounting_words mounting packing parts timetable"),
    ("pages/cutting", "dimensions drawing entries facts guide table"),
    ("pages/templates", "tile frame pages"),
    ("pages/labels", "drawing face pages"),
    ("pages/delivery", "margin_line_words order_lists ticket"),
    ("pages/soft_proof", "key pages"),
    ("outside", "files profiles output delivery_folder delivery_source zips fonts calendar"),
    ("outside", "lettering marks_on_pixels back_drawing sheet_pictures loss_picture qr"),
    ("outside/pixels", "vips photograph_errors"),
    ("outside/pixels/colour", "icc cielab linear_light matrix_models spaces"),
    ("outside", "bevels ovals pdf labels png mockups proof_sheet reading_pdf soft_proof_pdf"),
    ("outside", "strip_drawing margin_line_drawing templates"),
    ("outside/pixels/colour", "output_space pixel_cielab profiled_image"),
    ("outside/pixels/metadata", "iptc"),
    ("outside/pixels/source", "tiff_directories"),
    ("outside/pixels/metadata", "extract credit embed"),
    ("outside/pixels/source", "cmyk tiff_tags file_header ycbcr source_profile main_image"),
    ("outside/pixels/source", "pixel_format tiff_cielab normalise decode"),
    ("outside/pixels/conversion", "matrix extended_range grey clut"),
    ("outside/pixels/resize", "separable_filters resampling sharpening print_size"),
    ("outside/pixels/conversion", "convert"),
    ("outside/pixels/prints", "encoding"),
    ("outside", "page_prints"),
    ("outside/pixels/prints", "catalogue_copies file_facts composition"),
    ("outside/pixels/measure", "edge_lines scans"),
    ("outside", "card"),
    ("outside/pixels/measure", "soft_proof lightness"),
    ("run", "json_report text_report workers inputs preflight print_files step_tones"),
    ("commands/soft_proof", "worker run"),
    ("commands/make", "order worker run"),
    ("commands/strip", "record worker layout proof_prints run"),
    ("commands/delivery", "record packing catalogue companions worker run text"),
    ("commands/verify", "parts run text"),
    ("commands/mount", "pages record run"),
    ("commands/measure", "worker text tables"),
    ("commands", "arrived choose light strip_read"),
    ("cli", "main choose profiles options arrived check deliver light make measure mount start"),
    ("cli", "strip strip_read verify"),
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
        ("reportlab", {"proofs.outside.pdf", "proofs.outside.fonts"}),
        ("segno", {"proofs.outside.qr"}),
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
        ("import proofs.plan.layout", {"proofs.plan.layout"}),
        ("from proofs.plan import layout, tone", {"proofs.plan.layout", "proofs.plan.tone"}),
        ("from proofs.plan.layout import lay_out", {"proofs.plan.layout"}),
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
