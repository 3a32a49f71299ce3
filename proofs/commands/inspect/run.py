"""A whole inspection: its pictures, its pages and its record."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.commands.inspect.kept import InspectWork, inspect_work, place_look
from proofs.commands.inspect.looks import HowToLook, look_tasks, looked_entries
from proofs.commands.inspect.order import InspectOptions, Picture
from proofs.commands.inspect.record import inspection_record
from proofs.commands.inspect.worker import inspect_picture
from proofs.errors import ExitCode
from proofs.findings import Status
from proofs.inspection.inspected import InspectedEntry, PictureLook
from proofs.inspection.look_crops import LOOKS
from proofs.outside.page_pdfs import inspection_pdf
from proofs.outside.run_folder import RunFolder, opened_folder
from proofs.plan.making.keeping import Counts
from proofs.run.json_report import JsonValue, json_file
from proofs.run.made_with import made_with
from proofs.run.preflight import Preflight
from proofs.run.source_digests import source_digests
from proofs.run.workers import Trouble, Workers, traces

PAGES, RECORD = "inspection.pdf", "inspection.json"
_PAGE_BYTES = 1_200_000  # as files and in the PDF; twice the most of 17 photographs (measured)


@dataclass(frozen=True, slots=True)
class InspectRun:
    """The result of a run: its entries in order, its record, its exit code and its faults."""

    entries: tuple[InspectedEntry, ...]
    record: JsonValue
    exit_code: ExitCode
    counts: Counts
    faults: tuple[str, ...] = ()


def make_inspection(
    options: InspectOptions, ready: Preflight, how: HowToLook, workers: Workers
) -> InspectRun:
    """Look at all pictures of a run, and write its pages, its record and their pictures.

    Raises ``WriteError``, before anything is written, if the folder cannot be used.
    """
    tasks = look_tasks(ready, how, options.out / RunFolder.PARTS)
    own, again = made_with(ready.job.lab, options.font), options.again
    sources = [task.source for task in tasks]
    with (
        opened_folder(options.out, own=PAGES, sources=sources, again=again) as folder,
        source_digests(ready.inputs.folder, reads=folder.may_keep, again=again) as digests,
    ):
        work = inspect_work(tasks, folder, digests, own)
        left = sum(not task.is_done for task in work.tasks)
        names = (PAGES, RECORD)
        folder.begin(names, work.recipes, pages=LOOKS, about_bytes=left * _PAGE_BYTES)
        looks = _looks(work, folder, workers)
        entries = looked_entries(ready, how, looks)
        _write_pages(options, ready, entries, work=work, folder=folder)
        record = inspection_record(ready.job, how.profile, entries)
        folder.write(RECORD, json_file(record))
    troubles = [look for look in looks.values() if isinstance(look, Trouble)]
    # A rule that a picture breaks is for `check` and `make` to end with.
    outcomes = [e.outcome for e in entries if e.outcome.status != Status.BROKEN]
    code = workers.exit_code(outcomes, troubles)
    return InspectRun(entries, record, code, folder.counts, traces(troubles))


def _looks(
    work: InspectWork, folder: RunFolder, workers: Workers
) -> dict[Picture, PictureLook | Trouble]:
    """What was found in each picture; files that are not kept are made and placed."""
    looks: dict[Picture, PictureLook | Trouble] = {}
    for task in work.tasks:
        if task.is_done and task.known:
            looks[task.picture] = task.known
            workers.after_each("")
    for task, result in workers.results(inspect_picture, [t for t in work.tasks if not t.is_done]):
        if isinstance(result, Trouble):
            looks[task.picture] = result
            work.digests.forget((task.source,))  # it may not be what it seemed to be
        else:
            looks[task.picture] = result.look
            place_look(work, task, result, folder)
    return looks


def _write_pages(
    options: InspectOptions,
    ready: Preflight,
    entries: Sequence[InspectedEntry],
    *,
    work: InspectWork,
    folder: RunFolder,
) -> None:
    """Write the pages, unless they are kept."""
    own = work.made_with
    shown = [
        (
            e.outcome.entry,
            e.outcome.status,
            e.outcome.findings,
            e.stem,
            [(p.marks, p.look) for p in e.pictures],
            [p.plan.layout for p in e.pictures],
        )
        for e in entries
    ]
    key = own.key("inspection", own.job(ready.job), shown, options.paper_size, own.font_sha256)
    if not folder.keeps(PAGES, key):
        folder.write(PAGES, inspection_pdf(ready.job, entries, options.out, options), key)
