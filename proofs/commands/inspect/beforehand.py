"""Pictures looked at before another command makes anything of them."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from proofs.commands.inspect.kept import inspect_work, look_key
from proofs.commands.inspect.looks import HowToLook, look_tasks, looked_entries, with_looks
from proofs.commands.inspect.order import Picture
from proofs.commands.inspect.worker import inspect_picture
from proofs.inspection.inspected import PictureLook
from proofs.outside.run_folder import RunFolder
from proofs.plan.making.recipes import MadeWith
from proofs.records.stored_values import stored
from proofs.run.preflight import Preflight
from proofs.run.source_digests import SourceDigests
from proofs.run.workers import Trouble, Workers


@dataclass(frozen=True, slots=True)
class LookedAt:
    """A preflight with what was found in the pixels.

    ``results`` are what the run folder notes of it, by the keys of their recipes; ``troubles`` are
    what stopped pictures.
    """

    ready: Preflight
    results: Mapping[str, object]
    troubles: tuple[Trouble, ...]


def looked_at(
    ready: Preflight,
    how: HowToLook | None,
    workers: Workers,
    *,
    folder: RunFolder,
    digests: SourceDigests,
    made_with: MadeWith,
) -> LookedAt:
    """Look at all pictures, but for those that earlier runs in the folder have looked at.

    Without ``how`` none is looked at.
    """
    if how is None:
        return LookedAt(ready, {}, ())
    looks: dict[Picture, PictureLook | Trouble] = {}
    results: dict[str, object] = {}
    work = inspect_work(
        look_tasks(ready, how, folder.parts, with_files=False), folder, digests, made_with
    )
    for task in work.tasks:
        if task.known:
            looks[task.picture] = task.known
            workers.after_each("")
    left = [task for task in work.tasks if not task.known]
    for task, result in workers.results(inspect_picture, left):
        if isinstance(result, Trouble):
            looks[task.picture] = result
        else:
            looks[task.picture] = result.look
            results[look_key(task, result.look.sha256, made_with)] = stored(result.look)
    entries = looked_entries(ready, how, looks)
    troubles = tuple(look for look in looks.values() if isinstance(look, Trouble))
    outcomes = with_looks(ready.outcomes, entries)
    return LookedAt(replace(ready, outcomes=outcomes), results, troubles)
