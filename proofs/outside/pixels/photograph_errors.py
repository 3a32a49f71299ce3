"""Errors for photographs that cannot be read or stored, each with a stable code."""

from pathlib import Path

from proofs.errors import PhotographError


class CodedPhotographError(PhotographError):
    """A photograph that cannot be read, or cannot become the requested file.

    ``code`` is stable: ``input-missing``, ``input-empty``, ``unsupported-format``,
    ``input-truncated``, ``input-too-large``, ``changed-while-read``,
    ``output-too-large-for-format``.
    """

    def __init__(self, message: str, code: str) -> None:
        super().__init__(message, code)  # both, or it could not come back from a worker
        self.messages, self.code = (message,), code


def missing(path: Path, reason: str) -> CodedPhotographError:
    """Return the error for a file that cannot be opened."""
    return CodedPhotographError(
        f"{path}: cannot be opened ({reason}); check its name and folder", "input-missing"
    )


def empty(path: Path) -> CodedPhotographError:
    """Return the error for a file without content."""
    return CodedPhotographError(
        f"{path}: is empty; copy it again from the camera or the backup", "input-empty"
    )


def unsupported(path: Path, hint: str) -> CodedPhotographError:
    """Return the error for a file that is not a picture in a format the program reads."""
    return CodedPhotographError(
        f"{path}: is not a picture the program can read ({hint}save it as TIFF or JPEG)",
        "unsupported-format",
    )


def damaged(path: Path, reason: str) -> CodedPhotographError:
    """Return the error for a picture whose pixels are incomplete."""
    return CodedPhotographError(
        f"{path}: is cut short or damaged ({reason}); copy it again from the camera or the backup",
        "input-truncated",
    )


def too_large(path: Path, megapixels: float, most: int) -> CodedPhotographError:
    """Return the error for a picture larger than the program accepts."""
    return CodedPhotographError(
        f"{path}: has {megapixels:.0f} megapixels, more than {most}; make it smaller first",
        "input-too-large",
    )


def excessive(path: Path, excess: str) -> CodedPhotographError:
    """Return the error for a picture file that holds too much besides its picture."""
    return CodedPhotographError(
        f"{path}: {excess}; save it again as TIFF or JPEG, flattened", "input-too-large"
    )


def changed(path: Path) -> CodedPhotographError:
    """Return the error for a file that is no longer the one that was checked."""
    return CodedPhotographError(
        f"{path}: was changed while the program was at work; run it again", "changed-while-read"
    )
