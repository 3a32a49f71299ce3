"""Photographs that cannot be read or stored, each with a stable code beside its words."""

from pathlib import Path

from proofs.errors import PhotographError


class CodedPhotographError(PhotographError):
    """A photograph that cannot be read, or cannot become the file asked for.

    ``code`` is stable: ``input-missing``, ``input-empty``, ``unsupported-format``,
    ``input-truncated``, ``input-too-large``, ``output-too-large-for-format``.
    """

    def __init__(self, message: str, code: str) -> None:
        super().__init__(message, code)
        self.code = code

    def __str__(self) -> str:
        return str(self.args[0])


def missing(path: Path, reason: str) -> CodedPhotographError:
    """Return the fault of a file that cannot be opened."""
    return CodedPhotographError(
        f"{path}: cannot be opened ({reason}); look for it", "input-missing"
    )


def empty(path: Path) -> CodedPhotographError:
    """Return the fault of a file without content."""
    return CodedPhotographError(
        f"{path}: is empty; copy it again from the camera or the backup", "input-empty"
    )


def unsupported(path: Path, guess: str) -> CodedPhotographError:
    """Return the fault of a file that is no picture of a kind the program reads."""
    return CodedPhotographError(
        f"{path}: is no picture the program can read ({guess}save it as TIFF or JPEG)",
        "unsupported-format",
    )


def damaged(path: Path, reason: str) -> CodedPhotographError:
    """Return the fault of a picture whose pixels are not all there."""
    return CodedPhotographError(
        f"{path}: is cut short or damaged ({reason}); copy it again from the camera or the backup",
        "input-truncated",
    )


def too_large(path: Path, megapixels: float, most: int) -> CodedPhotographError:
    """Return the fault of a picture larger than the program will take on."""
    return CodedPhotographError(
        f"{path}: holds {megapixels:.0f} megapixels, more than {most}; make it smaller first",
        "input-too-large",
    )
