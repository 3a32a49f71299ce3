"""The options on the metadata of finished files, the same for every command that makes them."""

from dataclasses import dataclass

from proofs.records.job import JobFile
from proofs.records.metadata_wish import Kept, MetadataWish
from proofs.run.inputs import EntriesOptions


@dataclass(frozen=True, slots=True, kw_only=True)
class FileMetadataOptions(EntriesOptions):
    """What finished files keep of their pictures' metadata, and which lines they state.

    ``keep_copyright`` keeps the creator, the copyright and the title; ``keep_metadata`` keeps all.
    ``copyright`` and ``creator`` are None for those of ``job.toml``, blank for none.
    """

    keep_metadata: bool = False
    keep_copyright: bool = False
    copyright: str | None = None
    creator: str | None = None

    def metadata_wish(self, job_file: JobFile) -> MetadataWish:
        """Return what is asked for; an option wins over ``job.toml``."""
        credit = Kept.CREDIT if self.keep_copyright else Kept.NONE
        return MetadataWish(
            kept=Kept.ALL if self.keep_metadata else credit,
            copyright=job_file.copyright if self.copyright is None else self.copyright,
            creator=job_file.creator if self.creator is None else self.creator,
        )
