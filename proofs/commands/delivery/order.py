"""The order and the options of ``deliver``."""

import datetime
from dataclasses import dataclass
from pathlib import Path

from proofs.records.job import Job
from proofs.records.papers import Sharpening
from proofs.run.inputs import Inputs


@dataclass(frozen=True, slots=True)
class DeliveryOptions:
    """What goes into the files of a delivery, what goes with them, and how it is packed.

    ``copyright`` is a line for every file, or blank. ``sharpen`` and ``font`` are as for
    ``make``; ``paper_size`` is that of the ticket and the soft proof, ``a4`` or ``letter``.
    """

    keep_metadata: bool = False
    copyright: str = ""
    sharpen: Sharpening | None = None
    catalogue: bool = False
    soft_proof: bool = False
    as_zip: bool = False
    paper_size: str = "a4"
    font: Path | None = None


@dataclass(frozen=True, slots=True)
class DeliveryOrder:
    """What to deliver, where and how; ``needed_by`` is printed on the ticket."""

    job: Job
    inputs: Inputs
    folder: Path
    options: DeliveryOptions
    needed_by: datetime.date | None = None
