"""What a run asks of a cluster: its address, the shared folder, and what its workers must make."""

from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from proofs.outside.shared_folder import SharedFolder, shared_folder
from proofs.records.labs import COLOUR_SPACES
from proofs.run.fitness import Trial
from proofs.run.preflight import Preflight


class ClusterOptions(Protocol):
    """The options of a command whose work may be done by a cluster."""

    @property
    def cluster(self) -> str:
        """The address of the scheduler; blank for this computer alone."""

    @property
    def entries(self) -> tuple[Path, ...]:
        """The entries file, the folder or the pictures."""

    @property
    def out(self) -> Path:
        """The folder to write to."""

    @property
    def font(self) -> Path | None:
        """A font file, or None."""


@dataclass(frozen=True, slots=True)
class ClusterOrder:
    """The cluster of a run; each of its workers is tried before its first task."""

    address: str
    shared: SharedFolder
    trial: Trial


def cluster_order(options: ClusterOptions, ready: Preflight) -> ClusterOrder | None:
    """Return the cluster that the options name, or None.

    Raises ``UsageError`` if this computer does not know the shared folder, or if anything that the
    run reads or writes is outside it.
    """
    if not options.cluster:
        return None
    shared, folder = shared_folder(), ready.inputs.folder
    icc = ready.job.lab.colour_profile
    further = ready.inputs.source.pictures
    own = (options.font, None if icc in COLOUR_SPACES else Path(icc), further)
    for path in (options.out, *options.entries, folder, *filter(None, own)):
        shared.place_of(path)
    readable = (outcome.entry for outcome in ready.outcomes if outcome.plan)
    pictures = (picture for entry in readable for picture in ready.inputs.pictures_of(entry))
    trial = Trial(ready.job.lab, options.font, next(pictures, None))
    return ClusterOrder(options.cluster, shared, trial)
