"""The print files of one entry.

Each picture has one file per step; with a printed surround there is one file per step for all.
"""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

from proofs.errors import WriteError
from proofs.lengths import PixelSize
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import variant_image, variant_images
from proofs.outside.pixels.metadata.extract import Metadata
from proofs.outside.pixels.prints.composition import on_surround
from proofs.outside.pixels.prints.encoding import encoded, read_back
from proofs.outside.pixels.resize.print_size import sized_for_print
from proofs.outside.pixels.source.decode import Photograph
from proofs.outside.pixels.vips import Image
from proofs.plan.checks.outcomes import PrintFile, measured_sight
from proofs.plan.entry.hanging import quarter_turns
from proofs.plan.entry.mockup import board_colour, front_colour
from proofs.plan.entry.planning import Plan, PlannedPicture
from proofs.plan.sheets.printed_pieces import surround_areas
from proofs.plan.tones.tone import Variant
from proofs.records.job import Job
from proofs.records.labs import FileFormat, Lab
from proofs.records.mounts import WindowKind
from proofs.records.papers import Sharpening

Write = Callable[[str, bytes], None]


@dataclass(frozen=True, slots=True)
class PrintFacts:
    """What a finished print file states, read back from its bytes."""

    pixels: PixelSize
    ppi: float
    icc: str


@dataclass(frozen=True, slots=True)
class PrintWriter:
    """Writes the print files of an entry under their names.

    Names start with ``stem``; ``with_variants`` also asks for each step at full size. Files whose
    names are in ``kept`` are there already.
    """

    plan: Plan
    lab: Lab
    stem: str
    with_variants: bool
    write: Write
    kept: frozenset[str] = frozenset()

    def wanted(self, stem: str) -> list[Variant]:
        """Return the steps of which a file has to be made; its name starts with ``stem``."""
        return [v for v in self.plan.variants if not self.kept.issuperset(self._names(stem, v))]

    def write_step(self, stem: str, variant: Variant, content: bytes) -> str:
        """Write the file of a step, as print, as variant or as both; return its main name."""
        names = self._names(stem, variant)
        for name in names:
            if name not in self.kept:
                self.write(name, content)
        return names[0]

    def _names(self, stem: str, variant: Variant) -> tuple[str, ...]:
        return step_names(
            self.plan, stem, variant, self.lab.suffix, with_variants=self.with_variants
        )


def step_names(
    plan: Plan, stem: str, variant: Variant, suffix: str, *, with_variants: bool
) -> tuple[str, ...]:
    """Return the names of the file of one step, the main one first; none if it has no file."""
    prints = (f"prints/{stem}{suffix}",) if variant == plan.printed else ()
    return (*prints, *((variant_name(stem, variant, suffix),) if with_variants else ()))


def print_names(plan: Plan, stem: str, suffix: str, *, with_variants: bool) -> tuple[str, ...]:
    """Return the names of all print files of an entry, relative to the output folder."""
    return tuple(
        name
        for picture in print_stems(plan, stem)
        for step in plan.variants
        for name in step_names(plan, picture, step, suffix, with_variants=with_variants)
    )


def print_stems(plan: Plan, stem: str) -> tuple[str, ...]:
    """Return how the names of an entry's prints start; several pictures are numbered."""
    count = len(plan.parts)
    if count == 1 or plan.mount.window == WindowKind.SURROUND:
        return (stem,)
    return tuple(f"{stem}_{n}" for n in range(1, count + 1))


def variant_name(stem: str, variant: Variant, suffix: str) -> str:
    """Return the name of the full-size file of one step; it never gives the density."""
    return f"variants/{stem}_{variant.step.lower()}{suffix}"


def print_base(
    job: Job, part: PlannedPicture, photograph: Photograph, *, sharpen: Sharpening | None
) -> ProfiledImage:
    """Return the image that all steps of a print file start from.

    It is larger than the picture's own image if that is printed to the edge of its sheet.
    ``sharpen`` is None for what suits the paper and the lab.
    """
    return sized_for_print(
        photograph,
        turn=quarter_turns(part.top_edge),
        crop=part.file_crop,
        size=part.file_pixels,
        ppi=job.lab.ppi,
        sharpen=job.sharpening(sharpen),
    )


def image_base(base: ProfiledImage, part: PlannedPicture) -> ProfiledImage:
    """Return the image in the base of a print file, without what the lab may trim."""
    if part.edge is None:
        return base
    area = part.image_area
    image = base.image.crop(area.left, area.top, area.width, area.height)
    return replace(base, image=image)


def picture_base(
    job: Job,
    part: PlannedPicture,
    photograph: Photograph,
    size: PixelSize,
    sharpen: Sharpening = Sharpening.OFF,
) -> ProfiledImage:
    """Return a picture turned as it hangs, cropped, and resized to a size in pixels."""
    return sized_for_print(
        photograph,
        turn=quarter_turns(part.top_edge),
        crop=part.crop,
        size=size,
        ppi=job.lab.ppi,
        sharpen=sharpen,
    )


def print_picture(
    writer: PrintWriter,
    n: int,
    base: ProfiledImage,
    *,
    kept: Metadata | None,
    threads: ThreadPoolExecutor,
) -> dict[str, PrintFacts]:
    """Write the print of picture ``n`` at the steps wanted; return the facts by main name."""
    stem = print_stems(writer.plan, writer.stem)[n]
    variants = writer.wanted(stem)
    if not variants:
        return {}

    def write(variant: Variant, image: Image) -> tuple[str, PrintFacts]:
        content = encoded(image, writer.lab, kept=kept)
        name = writer.write_step(stem, variant, content)
        return name, _read_back(name, content)

    images = variant_images(base, writer.lab, [variant.density for variant in variants])
    return dict(threads.map(write, variants, images))


def print_with_surround(
    writer: PrintWriter, bases: Sequence[ProfiledImage], variant: Variant, *, kept: Metadata | None
) -> tuple[str, PrintFacts]:
    """Write all pictures with their surround into one file; return its main name and its facts."""
    plan, sheet = writer.plan, surround_areas(writer.plan, writer.lab.ppi)
    images = [variant_image(base, writer.lab, variant.density) for base in bases]
    colours = front_colour(plan.mount), board_colour(plan.mount.keyline_colour)
    whole = on_surround(sheet, images, writer.lab, colours)
    content = encoded(whole, writer.lab, kept=kept)
    name = writer.write_step(writer.stem, variant, content)
    facts = _read_back(name, content)
    if facts.pixels != sheet.size:
        raise WriteError(f"{name}: was written as {facts.pixels}, not {sheet.size}")
    return name, facts


def print_file(plan: Plan, n: int, name: str, facts: PrintFacts, sha256: str) -> PrintFile:
    """Return the print file of picture ``n``, with its visible size from what it states."""
    part, pixels = plan.parts[n], facts.pixels
    if plan.mount.window == WindowKind.SURROUND or part.edge:
        pixels = part.pixels
    sight = measured_sight(plan.layout.pictures[n], pixels, facts.ppi)
    return PrintFile(name, facts.pixels, facts.ppi, facts.icc, sight, sha256)


def _read_back(name: str, content: bytes) -> PrintFacts:
    """Size, resolution and profile, read back from the finished file."""
    printed = read_back(content)
    if printed.ppi is None:
        raise WriteError(f"{name}: was written without its resolution")
    return PrintFacts(
        PixelSize(printed.width_px, printed.height_px), printed.ppi, printed.icc or ""
    )


def print_bytes(pixels: PixelSize, lab: Lab) -> int:
    """Return more bytes than the print file of a photograph takes, from its size alone."""
    per_pixel = 1.0 if lab.format == FileFormat.JPEG else 4.0 * lab.bits / 8  # LZW can expand
    return int(pixels.width * pixels.height * per_pixel)
