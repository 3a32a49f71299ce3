"""What lies on the shelf, as ``shelf.csv`` next to the entries lists it."""

from proofs.errors import EntriesError
from proofs.outside.files import is_there, read_bytes
from proofs.records.shelf import ShelfBoard, read_shelf
from proofs.run.inputs import JOB_NAME, Inputs

SHELF = "shelf.csv"


def load_shelf(inputs: Inputs) -> tuple[ShelfBoard, ...]:
    """Return what lies on the shelf: in the file that ``job.toml`` names, or next to the entries.

    It is empty if there is no such file. Raises ``EntriesError`` if ``job.toml`` names one that is
    not there, or if a row cannot be understood.
    """
    named = inputs.source.job_file.shelf
    path = inputs.folder / (named or SHELF)
    if not is_there(path):
        if named:
            raise EntriesError(
                f"{inputs.folder / JOB_NAME}: shelf: there is no file {path}; correct the name,"
                " which counts from the folder of job.toml"
            )
        return ()
    return read_shelf(read_bytes(path), str(path))
