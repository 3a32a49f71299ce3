"""The mock-ups of one entry, and what is made of them: its back, and a small one for the hang."""

from collections.abc import Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field

from proofs.commands.make.order import MakeTask, back_name, hung_name, mockup_name
from proofs.findings import Status
from proofs.outside.bevels import Codes
from proofs.outside.fonts import load_fonts
from proofs.outside.hang_drawing import hung_codes
from proofs.outside.mockups import (
    EmptyMount,
    back_codes,
    front_codes,
    front_png,
    mockup_png,
    read_mockup,
)
from proofs.outside.sheet_pictures import small_jpeg
from proofs.plan.entry.mockup import PX_PER_INCH
from proofs.plan.tones.tone import Variant
from proofs.run.print_files import Write


@dataclass(frozen=True, slots=True)
class Fronts:
    """The mock-ups of an entry seen from the front, as pixels.

    ``drawn`` has those just drawn that others are made of, by the letter of their step; any other
    is read from the file that is kept.
    """

    task: MakeTask
    drawn: dict[str, Codes] = field(default_factory=dict)

    def of(self, step: Variant) -> Codes:
        """Return the mock-up of a step."""
        if step.step in self.drawn:
            return self.drawn[step.step]
        return read_mockup(self.task.options.out / mockup_name(self.task.stem, step))

    def needs(self, step: Variant) -> bool:
        """Return whether others are still to be made of the mock-up of a step."""
        task = self.task
        is_back = step == task.ghost and task.wants(back_name(task.stem))
        return is_back or (step == task.plan.printed and task.wants(hung_name(task.stem)))


def steps_to_draw(task: MakeTask) -> tuple[Variant, ...]:
    """Return the steps whose mock-ups from the front are not kept."""
    return tuple(step for step in task.plan.variants if task.wants(mockup_name(task.stem, step)))


def write_fronts(
    fronts: Fronts,
    mount: Future[EmptyMount],
    pictures: Mapping[Variant, Sequence[Codes]],
    write: Write,
    threads: ThreadPoolExecutor,
) -> None:
    """Write the mock-ups from the front that are not kept.

    ``pictures`` are those of each step at the size of its mock-up.
    """
    task = fronts.task
    is_marked = task.outcome.status == Status.BROKEN and not task.options.anyway

    def write_front(step: Variant) -> None:
        name, empty, shown = mockup_name(task.stem, step), mount.result(), pictures[step]
        if not (is_marked or fronts.needs(step)):
            write(name, front_png(empty, task.plan, shown))
            return
        codes = front_codes(empty, task.plan, shown, not_printed=is_marked)
        if fronts.needs(step):
            fronts.drawn[step.step] = codes
        png = mockup_png(codes) if is_marked else empty.frame.png(codes, PX_PER_INCH)
        write(name, png)

    list(threads.map(write_front, steps_to_draw(task)))


def write_from_fronts(fronts: Fronts, write: Write, threads: ThreadPoolExecutor) -> None:
    """Write what is made of the mock-ups from the front, unless it is kept."""
    task, made = fronts.task, {back_name: _back, hung_name: _hung}
    left = [(name(task.stem), make) for name, make in made.items() if task.wants(name(task.stem))]
    contents = threads.map(lambda one: one[1](fronts), left)
    for (name, _), content in zip(left, contents, strict=True):
        write(name, content)


def _back(fronts: Fronts) -> bytes:
    task = fronts.task
    fonts = load_fonts(task.options.font)
    return mockup_png(back_codes(task.plan, task.label, fronts.of(task.ghost), fonts))


def _hung(fronts: Fronts) -> bytes:
    return small_jpeg(hung_codes(fronts.of(fronts.task.plan.printed)))
