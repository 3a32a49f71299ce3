"""Running the program as its user does, and pictures for it to run on."""

import io
import json
import signal
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest import mock

import numpy as np
import pypdfium2
from PIL import Image

from proofs.cli.main import main
from proofs.run.interrupts import ENDING


@dataclass(frozen=True, slots=True)
class Said:
    """What a command said, and its exit code."""

    code: int
    out: str
    err: str


def proofs(*arguments: str | Path, cwd: Path | None = None) -> Said:
    """Run ``proofs`` with these arguments in a process of its own."""
    words = [sys.executable, "-W", "error", "-m", "proofs", *map(str, arguments)]
    done = subprocess.run(words, capture_output=True, text=True, cwd=cwd, check=False, timeout=300)
    return Said(done.returncode, done.stdout, done.stderr)


def in_process(*arguments: str | Path) -> Said:
    """Run ``proofs`` in this process, where many short runs would wait for Python to start."""
    out, err, code = io.StringIO(), io.StringIO(), 0
    words = ["proofs", *map(str, arguments)]
    handlers = {number: signal.getsignal(number) for number in ENDING}
    with mock.patch.object(sys, "argv", words), redirect_stdout(out), redirect_stderr(err):
        try:
            main()
        except SystemExit as end:
            code = int(end.code or 0)
        finally:
            for number, handler in handlers.items():
                signal.signal(number, handler)
    return Said(code, out.getvalue(), err.getvalue())


def report_of(folder: Path) -> Any:
    """Return the report that a run left."""
    return json.loads((folder / "report.json").read_text(encoding="utf-8"))


def pdf_text(path: Path) -> str:
    """Return the words of all pages of a PDF, a blank between them."""
    document = pypdfium2.PdfDocument(path)
    texts = (page.get_textpage().get_text_range() for page in document)
    return " ".join(" ".join(texts).split())


def gradient(path: Path, width: int, height: int, *, seed: int = 0) -> None:
    """Save a soft picture with some grain, so that no edge of it is even."""
    random = np.random.default_rng(seed)
    rows, columns = np.mgrid[0:height, 0:width] / max(width, height)
    shape = np.stack([rows, columns, 1 - rows], axis=-1) * 180 + 30
    noisy = shape + random.normal(0, 12, shape.shape)
    Image.fromarray(noisy.clip(0, 255).astype(np.uint8)).save(path, quality=92)


def write_entries(folder: Path, *rows: str) -> Path:
    """Write an entries file with these lines, the header first."""
    path = folder / "entries.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path
