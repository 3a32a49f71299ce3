"""The print files of one entry: one a picture and step, or one a step with its surround."""

import hashlib
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

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
class Press:
    """What the print files of an entry are written with.

    ``stem`` starts their names; ``with_variants`` asks for every step at full size as well.
    """

    plan: Plan
    lab: Lab
    stem: str
    with_variants: bool
    write: Write

    def prints(self, variant: Variant) -> bool:
        """Return whether a step gets any file at all."""
        return self.with_variants or variant == self.plan.printed

    def written(self, stem: str, variant: Variant, content: bytes) -> str:
        """Write a file of a step where it is wanted, and return the name to know it by."""
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
    """Return the start of the names of an entry's prints: several pictures are counted."""
    count = len(plan.parts)
    if count == 1 or plan.mount.window == WindowKind.SURROUND:
        return (stem,)
    return tuple(f"{stem}_{n}" for n in range(1, count + 1))


def variant_name(stem: str, variant: Variant, suffix: str) -> str:
    """Return the name of the full-size file of one step; its density never stands in it."""
    return f"variants/{stem}_{variant.step.lower()}{suffix}"


def print_base(
    job: Job, part: PlannedPicture, photograph: Photograph, *, sharpen: Sharpening | None
) -> ProfiledImage:
    """Return what all steps of a print are made of; ``sharpen`` is as in ``MakeOptions``."""
    return picture_base(job, part, photograph, part.pixels, job.sharpening(sharpen))


def picture_base(
    job: Job,
    part: PlannedPicture,
    photograph: Photograph,
    size: PixelSize,
    sharpen: Sharpening = Sharpening.OFF,
) -> ProfiledImage:
    """Return a picture as hung and cropped, at a size in pixels."""
    return sized_for_print(
        photograph,
        turn=quarter_turns(part.top_edge),
        crop=part.crop,
        size=size,
        ppi=job.lab.ppi,
        sharpen=sharpen,
    )


def print_picture(
    press: Press,
    n: int,
    base: ProfiledImage,
    variants: Sequence[Variant],
    *,
    kept: Metadata | None,
    threads: ThreadPoolExecutor,
) -> dict[Variant, PrintFile]:
    """Write the print of picture ``n`` at these steps, and return what the finished files say."""
    stem = print_stems(press.plan, press.stem)[n]

    def written(variant: Variant, image: Image) -> PrintFile:
        content = encoded(image, press.lab, kept=kept)
        name = press.written(stem, variant, content)
        pixels, ppi, icc = _read_back(name, content)
        sight = measured_sight(press.plan.layout.pictures[n], pixels, ppi)
        return PrintFile(name, pixels, ppi, icc, sight, _digest(content))

    images = variant_images(base, press.lab, [variant.density for variant in variants])
    return dict(zip(variants, threads.map(written, variants, images), strict=True))


def print_with_surround(
    press: Press, bases: Sequence[ProfiledImage], variant: Variant, *, kept: Metadata | None
) -> tuple[PrintFile, ...]:
    """Write the print of all pictures with their surround; it is the file of each of them."""
    plan, sheet = press.plan, surround_areas(press.plan, press.lab.ppi)
    images = [variant_image(base, press.lab, variant.density) for base in bases]
    colours = front_colour(plan), board_colour(plan.mount.keyline_colour)
    whole = on_surround(sheet, images, press.lab, colours)
    content = encoded(whole, press.lab, kept=kept)
    name = press.written(press.stem, variant, content)
    pixels, ppi, icc = _read_back(name, content)
    if pixels != sheet.size:
        raise WriteError(f"{name}: was written as {pixels}, not {sheet.size}")
    digest = _digest(content)
    return tuple(
        PrintFile(name, pixels, ppi, icc, measured_sight(picture, part.pixels, ppi), digest)
        for part, picture in zip(plan.parts, plan.layout.pictures, strict=True)
    )


def _read_back(name: str, content: bytes) -> tuple[PixelSize, float, str]:
    """What the finished file says of itself."""
    printed = read_back(content)
    if printed.ppi is None:
        raise WriteError(f"{name}: was written without its resolution")
    return PixelSize(printed.width_px, printed.height_px), printed.ppi, printed.icc or ""


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def about_bytes(pixels: PixelSize, lab: Lab) -> int:
    """Return the bytes of a print file of this size, a little over what photographs took."""
    per_pixel = (1.0 if lab.format == FileFormat.JPEG else 3.0) * lab.bits / 8
    return int(pixels.width * pixels.height * per_pixel)
