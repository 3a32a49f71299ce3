"""The options of ``deliver``, and its companions: what goes with the prints, not for the lab."""

import datetime
from dataclasses import dataclass
from pathlib import Path

from proofs.findings import Finding
from proofs.plan.delivery.deliveries import Catalogue, Companion
from proofs.plan.delivery.refusals import DeliverySheetOptions, Refusal
from proofs.records.papers import Sharpening
from proofs.run.file_metadata import FileMetadataOptions
from proofs.run.workers import Trouble


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryOptions(FileMetadataOptions):
    """The options of ``deliver``.

    ``needed_by`` is printed on the ticket, and compared with the ``timetable``.
    ``sharpen``, ``paper_size``, ``jobs``, ``cluster`` and ``again`` are as in ``MakeOptions``.
    """

    out: Path
    density: float | None = None
    cheapest: bool = False
    margin_line: bool = False
    cut_marks: bool = False
    anyway: bool = False
    needed_by: datetime.date | None = None
    timetable: str = "usual"
    catalogue: bool = False
    soft_proof: bool = False
    as_zip: bool = False
    sharpen: Sharpening | None = None
    paper_size: str = "a4"
    jobs: int | None = None
    cluster: str = ""
    again: bool = False
    as_json: bool = False

    @property
    def sheets(self) -> DeliverySheetOptions:
        """The options of the lab sheets."""
        return DeliverySheetOptions(
            density=self.density,
            cheapest=self.cheapest,
            margin_line=self.margin_line,
            cut_marks=self.cut_marks,
            anyway=self.anyway,
        )


@dataclass(frozen=True, slots=True)
class Companions:
    """The companions that were made; unless all were, nothing is delivered.

    ``refusals`` are for those that failed or break a rule, ``notes`` are findings by entry
    number; ``is_whole`` is False if the run was interrupted.
    """

    catalogue: Catalogue | None = None
    soft_proof: Companion | None = None
    refusals: tuple[Refusal, ...] = ()
    notes: tuple[tuple[str, Finding], ...] = ()
    troubles: tuple[Trouble, ...] = ()
    is_whole: bool = True
