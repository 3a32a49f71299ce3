"""The print files of one entry.

Each picture has one file per step; with a printed surround there is one file per step for all.
"""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from proofs.errors import WriteError
from proofs.lengths import PixelSize
from proofs.outside.files import sha256_of_bytes
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
class PrintWriter:
    """Writes the print files of an entry under their names.

    Names start with ``stem``; ``with_variants`` also asks for each step at full size.
    """

    plan: Plan
    lab: Lab
    stem: str
    with_variants: bool
    write: Write

    def needs(self, variant: Variant) -> bool:
        """Return whether a step has any file at all."""
        return self.with_variants or variant == self.plan.printed

    def write_step(self, stem: str, variant: Variant, content: bytes) -> str:
        """Write the file of a step, as print, as variant or as both; return its main name."""
        own_name = variant_name(stem, variant, self.lab.suffix)
        is_print = variant == self.plan.printed
        name = f"prints/{stem}{self.lab.suffix}" if is_print else own_name
        self.write(name, content)
        if is_print and self.with_variants:
            self.write(own_name, content)
        return name


def print_names(plan: Plan, stem: str, suffix: str, *, with_variants: bool) -> tuple[str, ...]:
    """Return the names of all print files of an entry, relative to the output folder."""
    names = []
    for picture in print_stems(plan, stem):
        names.append(f"prints/{picture}{suffix}")
        if with_variants:
            names += [variant_name(picture, step, suffix) for step in plan.variants]
    return tuple(names)


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
    """Return the image that all steps of a print start from.

    ``sharpen`` is None for what suits the paper and the lab.
    """
    return picture_base(job, part, photograph, part.pixels, job.sharpening(sharpen))


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
    variants: Sequence[Variant],
    *,
    kept: Metadata | None,
    threads: ThreadPoolExecutor,
) -> dict[Variant, PrintFile]:
    """Write the print of picture ``n`` at these steps, and return the facts of the files."""
    if not variants:  # several pictures on one printed surround have one name between them
        return {}
    stem = print_stems(writer.plan, writer.stem)[n]

    def write(variant: Variant, image: Image) -> PrintFile:
        content = encoded(image, writer.lab, kept=kept)
        name = writer.write_step(stem, variant, content)
        pixels, ppi, icc = _read_back(name, content)
        sight = measured_sight(writer.plan.layout.pictures[n], pixels, ppi)
        return PrintFile(name, pixels, ppi, icc, sight, sha256_of_bytes(content))

    images = variant_images(base, writer.lab, [variant.density for variant in variants])
    return dict(zip(variants, threads.map(write, variants, images), strict=True))


def print_with_surround(
    writer: PrintWriter, bases: Sequence[ProfiledImage], variant: Variant, *, kept: Metadata | None
) -> tuple[PrintFile, ...]:
    """Write all pictures with their surround into one file, and return its facts per picture."""
    plan, sheet = writer.plan, surround_areas(writer.plan, writer.lab.ppi)
    images = [variant_image(base, writer.lab, variant.density) for base in bases]
    colours = front_colour(plan), board_colour(plan.mount.keyline_colour)
    whole = on_surround(sheet, images, writer.lab, colours)
    content = encoded(whole, writer.lab, kept=kept)
    name = writer.write_step(writer.stem, variant, content)
    pixels, ppi, icc = _read_back(name, content)
    if pixels != sheet.size:
        raise WriteError(f"{name}: was written as {pixels}, not {sheet.size}")
    digest = sha256_of_bytes(content)
    return tuple(
        PrintFile(name, pixels, ppi, icc, measured_sight(picture, part.pixels, ppi), digest)
        for part, picture in zip(plan.parts, plan.layout.pictures, strict=True)
    )


def _read_back(name: str, content: bytes) -> tuple[PixelSize, float, str]:
    """Size, resolution and profile, read back from the finished file."""
    printed = read_back(content)
    if printed.ppi is None:
        raise WriteError(f"{name}: was written without its resolution")
    return PixelSize(printed.width_px, printed.height_px), printed.ppi, printed.icc or ""


def print_bytes(pixels: PixelSize, lab: Lab) -> int:
    """Return more bytes than the print file of a photograph takes, from its size alone."""
    per_pixel = 1.0 if lab.format == FileFormat.JPEG else 4.0 * lab.bits / 8  # LZW can expand
    return int(pixels.width * pixels.height * per_pixel)
