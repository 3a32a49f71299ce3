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
    ("", "errors lengths measures densities findings"),
    ("records", "words arrangements cells rows dialects headings entries newcomers tables rules"),
    ("records", "mounts papers labs cutters lights stock timetables page_sizes label_sheets job"),
    ("plan", "facts board layout hanging tone sizing arranging planning naming appearance"),
    ("plan", "metering viewing sizes_checked rules_checked remedies checking together outcomes"),
    ("plan", "mockup wedge strips surround strip_foot strip_packing gamut catalogue placing"),
    ("plan", "pieces slug delivery_names refusals lab_sheets deliveries file_rules zip_parts"),
    ("plan", "copy_rules printed_steps"),
    ("records", "readings"),
    ("plan", "marks recut cut_checks cutting cut_lines bands arrival bench settings board_kinds"),
    ("plan", "shelves nesting materials weights covered mounting packing timetable tiling"),
    ("plan", "templates labels"),
    ("inspection", "edges tones dark_shapes wedge_seat wedge_light wedge_reading wedge_finding"),
    ("inspection", "colour_difference colour_loss tone_figures margins"),
    ("pages", "setting drawing sheet_text sheet_mount sheet_columns sheet_pencil sheet_facts"),
    ("pages", "sheet_verdict sheet_wrong sheet_entry sheet_parts tone_curves sheet_curves sheet"),
    ("pages", "stamp running reading_plot strip_rule strip_sheet strip_pages material_pages"),
    ("pages", "mounting_words mounting_pages packing_pages timetable_pages soft_proof_key"),
    ("pages", "soft_proof_pages order_lists ticket slug_words bench_parts cutting_dimensions"),
    ("pages", "cutting_drawing cutting_facts cutting_entries cutting_guide cutting_table"),
    ("pages", "template_tile template_frame template_pages label_face label_drawing label_pages"),
    ("pages", "manual_text"),
    ("outside", "files manual profiles output delivery_folder delivery_source zips fonts calendar"),
    ("outside/pixels", "icc vips spaces directories containers faults iptc metadata credit"),
    ("outside/pixels", "curves meaning pages light luminance kinds lightness inks flattening"),
    ("outside/pixels", "lab_numbers working opening strips resampling sharpening base edge_lines"),
    ("outside/pixels", "reach kept targets tone_profile grey_route links matrix_route colour"),
    ("outside/pixels", "encoding mid_grey strip_pieces surrounds scanned page_pixels lab_pixels"),
    ("outside/pixels", "soft_proof catalogue_copies tone_samples lab_sheet file_facts"),
    ("outside", "png lettering marks_on_pixels back_drawing bevels ovals mockups sheet_pictures"),
    ("outside", "strip_drawing pdf reading_pdf proof_sheet page_prints loss_picture"),
    ("outside", "soft_proof_pdf card slug_drawing templates qr labels"),
    ("", "crew gathering surveying measuring printing making_values making soft_proof_making"),
    ("", "soft_proofing report route telling light_words choosing wedge_words strip_making"),
    ("", "strip_planning strip_report"),
    ("", "strip_proofs stripping cataloguing file_measuring file_words file_tables"),
    ("", "delivery_making delivery_beside_record delivery_record delivery_values"),
    ("", "delivery_files delivery_catalogue delivery_beside delivering"),
    ("", "delivery_words verify_parts verify_record verify_beside verifying verify_words"),
    ("", "cut_record bench_pages arriving mounting"),
    ("cli", "options profiles start check choose light make strip strip_read measure deliver"),
    ("cli", "verify arrived mount manual main"),
    ("", "__main__"),
)
ORDER = tuple(
    ".".join(["proofs", *filter(None, folder.split("/")), name])
    for folder, names in FLOORS
    for name in names.split()
)
PURE = ORDER[: ORDER.index("proofs.inspection.edges")]
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
