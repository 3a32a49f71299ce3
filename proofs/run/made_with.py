"""What everything in a run is made with, for its recipes."""

from pathlib import Path

from proofs.outside.files import sha256_of, sha256_of_bytes
from proofs.outside.pixels.colour.output_space import lab_icc_profile
from proofs.outside.versions import versions
from proofs.plan.making.recipes import MadeWith
from proofs.records.labs import Lab


def made_with(lab: Lab, font: Path | None) -> MadeWith:
    """Return the versions, the colour profile and the font of a run; ``font`` is the user's own.

    Raises ``ProfileError`` or ``WriteError`` if one of them cannot be read.
    """
    icc_sha256 = sha256_of_bytes(lab_icc_profile(lab))
    return MadeWith(versions(), icc_sha256, sha256_of(font) if font else "")
