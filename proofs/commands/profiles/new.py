"""A new profile from answers to questions: written, and read back."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.commands.profiles.check import described_by
from proofs.errors import ProfileError, UsageError, WriteError
from proofs.outside.files import is_there, read_bytes, write_new
from proofs.outside.pixels.colour.output_space import lab_icc_profile
from proofs.outside.profiles import ProfileFolders, read_profile, read_table
from proofs.records.faults import Fault
from proofs.records.labs import COLOUR_SPACES, Lab
from proofs.records.questionnaires.kinds import QUESTIONS, Draft
from proofs.records.questionnaires.printing import ICC_KEY
from proofs.records.questionnaires.question import Question, Values, with_value
from proofs.records.questionnaires.toml_text import toml_text

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,79}")
_MOST_ICC_BYTES = 100_000_000
RULES_WIN = "The rules of the exhibition in hand always win over a profile."
_RULES_OPENING = (
    f"{RULES_WIN} Read them, compare them with this file, then print. A key that is missing, or in"
    " a comment, checks nothing."
)
_OPENING = "A key in a comment is not used: take away the # before it to use it."


@dataclass(frozen=True, slots=True)
class NewProfile:
    """A profile to be made: its file, an ICC file to copy beside it, and what it starts from."""

    kind: str
    path: Path
    icc: Path | None = None
    start: Values | None = None

    @property
    def questions(self) -> tuple[Question, ...]:
        """The questions to ask; an ICC file that is given answers that of the colour space."""
        return tuple(q for q in QUESTIONS[self.kind] if not (self.icc and q.key == ICC_KEY))

    @property
    def icc_copy(self) -> Path:
        """The place of the copy of the ICC file."""
        return self.path.with_suffix(".icc")

    def draft(self) -> Draft:
        """Return the draft before any answer."""
        values = self.start or {}
        if self.icc:
            values = with_value(values, ICC_KEY, self.icc_copy.name)
        return Draft(values, self.faults_of, is_new=self.start is None)

    def faults_of(self, values: Values) -> Sequence[Fault]:
        """Return all that is wrong with these values, as if they were in the file."""
        _, faults = described_by(values, self.kind, self.path)
        return [fault for fault in faults if not (self.icc and fault.path == ICC_KEY)]


def path_in(folder: Path, kind: str, name: str) -> Path:
    """Return the file of a profile. Raises ``UsageError`` for a name that files should not have."""
    if not _NAME.fullmatch(name):
        raise UsageError(f"{name!r}: write a name of letters, digits, '-', '_' and '.'")
    return folder / kind / f"{name}.toml"


def new_profile(
    kind: str, path: Path, icc: Path | None, folders: ProfileFolders, like: str
) -> NewProfile:
    """Return the profile to be made; ``like`` is the one that it starts from, or blank.

    Raises ``WriteError`` if there is a file of this name, and ``ProfileError`` for a profile that
    cannot be used.
    """
    start = None
    if like:
        old = folders.path(kind, like)
        profile, start = read_profile(kind, old), read_table(old).values
        if isinstance(profile, Lab) and profile.colour_profile not in COLOUR_SPACES:
            icc = icc or Path(profile.colour_profile)
    new = NewProfile(kind, path, icc, start)
    for target in (path, new.icc_copy) if icc else (path,):
        if is_there(target):
            raise WriteError(f"{target}: is there already and is left as it is; take another name")
    return new


def write_profile(new: NewProfile, draft: Draft) -> tuple[Path, ...]:
    """Write a profile, with its ICC file if it has one, and return the files once read back.

    Raises ``ProfileError`` if the answers do not go together, and ``WriteError``.
    """
    if faults := new.faults_of(draft.values):
        listed = "; ".join(map(str, faults))
        raise ProfileError(f"{new.path}: not written, because the answers do not agree: {listed}")
    opening = _RULES_OPENING if new.kind == "rules" else _OPENING
    text = toml_text(draft.values, QUESTIONS[new.kind], opening)
    if new.icc:
        write_new(new.icc_copy, _icc_bytes(new.icc, new, draft.values))
    write_new(new.path, text.encode())
    read_profile(new.kind, new.path)
    if read_table(new.path).values != draft.values:
        raise WriteError(f"{new.path}: does not hold what was asked; compare it before you use it")
    return (new.path, new.icc_copy) if new.icc else (new.path,)


def _icc_bytes(icc: Path, new: NewProfile, values: Values) -> bytes:
    """The bytes of an ICC file that files for prints can carry. Raises ``ProfileError``."""
    content = read_bytes(icc, error=ProfileError, most=_MOST_ICC_BYTES)
    lab, _ = described_by(values, new.kind, new.path)
    if isinstance(lab, Lab):
        lab_icc_profile(replace(lab, colour_profile=str(icc)))
    return content
