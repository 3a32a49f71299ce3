"""What the recipes of several commands share: versions, pictures, and parts of profiles."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from proofs.lengths import PixelSize
from proofs.pixel_areas import Area
from proofs.plan.entry.mockup import picture_pixels
from proofs.plan.entry.planning import Plan
from proofs.plan.making.keys import Part, key_of, without
from proofs.records.job import Job
from proofs.records.labs import Lab
from proofs.records.mounts import Mount
from proofs.records.papers import Sharpening

_WORDS = "only words for people"
_PLANNED = "decided in the plan, whose pixels count"
_ORDER = "for the order alone"
_NOT_IN_A_PRINT = {
    "name": _WORDS,
    "title": _WORDS,
    "source": _WORDS,
    "sharpens": "counts as the sharpening of the picture",
    "sheets": _PLANNED,
    "edge_to_edge": _PLANNED,
    "margin": _PLANNED,
    "edge_loss": _PLANNED,
    "bleed": _PLANNED,
    "scale_error": "only verdicts depend on it",
    "loss": "only the soft proof depends on it",
    "lost_share": "only the soft proof depends on it",
    "pattern": "decides names, not bytes",
    "name_most": "decides names, not bytes",
    "most_px": "refuses files, and changes none",
    "most_bytes": "refuses files, and changes none",
    "upload_most_bytes": "decides how files are packed",
    "papers": _ORDER,
    "finishes": _ORDER,
    "prices": _ORDER,
    "charges": _ORDER,
    "currency": _ORDER,
    "paper_profiles": _ORDER,
    "paper_prices": _ORDER,
}
_NOT_ON_A_MOUNT = {"name": _WORDS, "title": _WORDS, "source": _WORDS}


@dataclass(frozen=True, slots=True)
class MadeWith:
    """What everything in a run is made with.

    ``versions`` are those of the program and of the libraries that make bytes. ``icc_sha256`` is
    the digest of the lab's colour profile, ``font_sha256`` that of the user's font, or blank.
    """

    versions: tuple[tuple[str, str], ...]
    icc_sha256: str
    font_sha256: str = ""

    def key(self, kind: str, *values: object) -> str:
        """Return the key of something of this kind that is made from these values."""
        return key_of(kind, self.versions, *values)

    def lab(self, lab: Lab) -> Lab:
        """Return a lab with the digest of its colour profile in place of a path."""
        return replace(lab, colour_profile=self.icc_sha256)

    def job(self, job: Job) -> Job:
        """Return a job with the digest of its lab's colour profile in place of a path."""
        return replace(job, lab=self.lab(job.lab))

    def print_lab(self, lab: Lab) -> Part:
        """Return what of a lab decides the bytes of a file for it."""
        return without(self.lab(lab), _NOT_IN_A_PRINT)


@dataclass(frozen=True, slots=True)
class Source:
    """One picture that a print or a mock-up starts from: its file, and what is done to it.

    The name of the file counts, without its folder: by the DCF rules for cameras a name can declare
    a colour space. ``crop`` and ``pixels`` are those of the file, ``image`` is the image in it.
    """

    sha256: str
    name: str
    top_edge: str
    crop: Area
    pixels: PixelSize
    image: Area
    ppi: int
    sharpening: Sharpening


def print_sources(
    job: Job, plan: Plan, digests: Sequence[str], sharpen: Sharpening | None
) -> tuple[Source, ...]:
    """Return what the prints of an entry start from; ``digests`` are those of its files."""
    sharpening = job.sharpening(sharpen)
    return tuple(
        Source(
            sha256=sha256,
            name=file_name(part.file),
            top_edge=part.top_edge,
            crop=part.file_crop,
            pixels=part.file_pixels,
            image=part.image_area,
            ppi=job.lab.ppi,
            sharpening=sharpening,
        )
        for part, sha256 in zip(plan.parts, digests, strict=True)
    )


def file_name(file: str) -> str:
    r"""Return the name of a picture's file without its folder, as an entry names it.

    >>> file_name("series/_DSC1.jpg"), file_name("series\\_DSC1.jpg")
    ('_DSC1.jpg', '_DSC1.jpg')
    """
    return file.replace("\\", "/").rpartition("/")[2]


def mockup_sources(plan: Plan, sources: Sequence[Source]) -> tuple[Source, ...]:
    """Return what the mock-ups of an entry start from if it gets no print file."""
    return tuple(
        replace(source, pixels=picture_pixels(plan, n), sharpening=Sharpening.OFF)
        for n, source in enumerate(sources)
    )


def shown_mount(mount: Mount) -> Part:
    """Return what of a mount decides its looks."""
    return without(mount, _NOT_ON_A_MOUNT)
