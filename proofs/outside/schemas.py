"""The JSON Schemas of profiles, files in the program's own folder."""

from pathlib import Path

from proofs.errors import ProofsError
from proofs.outside.files import read_bytes

_SCHEMAS = Path(__file__).resolve().parents[1] / "schemas"


def schema_text(kind: str) -> str:
    """Return the JSON Schema of a kind of profile."""
    return read_bytes(_SCHEMAS / f"{kind}.schema.json", error=ProofsError).decode("utf-8")
