"""What a print lab, or a printer at home, wants of a file and does to a print."""

from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Size
from proofs.records.tables import Table

SPACES = ("srgb", "a98-rgb", "display-p3")  # the names that CSS Color 4 gives them
USUAL_LOSS, USUAL_LOST_SHARE = 4.0, 0.02  # seen at once side by side; common practice, no source
_FORMATS = ("jpeg", "tiff", "png")
_COMPRESSIONS = ("lzw", "deflate", "none")
_INTENTS = ("relative", "perceptual", "absolute")


@dataclass(frozen=True, slots=True)
class Lab:
    """One line of a lab: the file it takes, the sheets it sells, how true it prints.

    ``colour_profile`` is one of ``SPACES`` or the path of an ICC file; ``scale_error`` is
    the share by which a print may come out larger or smaller; ``margin`` is the white the lab
    needs round the image, and ``edge_loss`` what it trims off a print without one. ``loss`` in
    CIEDE2000 on more than ``lost_share`` of an image is worth a warning in a soft proof.
    """

    name: str
    title: str
    source: str
    ppi: int
    format: str
    bits: int
    quality: int
    compression: str
    colour_profile: str
    intent: str
    black_point_compensation: bool
    sharpens: bool
    sheets: tuple[Size, ...]
    margin: Length
    edge_loss: Length
    scale_error: float
    loss: float = USUAL_LOSS
    lost_share: float = USUAL_LOST_SHARE

    @property
    def suffix(self) -> str:
        """The ending of its file names."""
        return {"jpeg": ".jpg", "tiff": ".tif", "png": ".png"}[self.format]


def read_lab(table: Table, name: str) -> Lab:
    """Return the lab that a profile describes.

    Raises ``ProfileError`` with the key, what was found and what is expected.
    """
    file, colour, paper = table.table("file"), table.table("colour"), table.table("print")
    soft = table.table("soft_proof")
    lab = Lab(
        name=name,
        title=table.text("title"),
        source=table.text("source"),
        ppi=file.count("ppi", least=72),
        format=file.choice("format", _FORMATS),
        bits=file.count("bits", least=8, default=8),
        quality=file.count("quality", default=95),
        compression=file.choice("compression", _COMPRESSIONS, default="lzw"),
        colour_profile=colour.text("profile"),
        intent=colour.choice("intent", _INTENTS, default="relative"),
        black_point_compensation=colour.truth("black_point_compensation", default=True),
        sharpens=paper.truth("sharpens", default=False),
        sheets=paper.sizes("sheets"),
        margin=paper.length("margin", default=ZERO),
        edge_loss=paper.length("edge_loss", default=ZERO),
        scale_error=paper.number("scale_error", least=0, most=0.05, default=0.0),
        loss=soft.number("loss", least=1, most=100, default=USUAL_LOSS),
        lost_share=soft.number("share", least=0, most=1, default=USUAL_LOST_SHARE),
    )
    _check_file(file, lab)
    for part in (file, colour, paper, soft, table):
        part.done()
    return lab


def _check_file(file: Table, lab: Lab) -> None:
    if lab.bits not in (8, 16):
        raise file.wrong("bits", "8 or 16")
    if lab.bits == 16 and lab.format == "jpeg":
        raise file.wrong("bits", "8: a JPEG holds no 16-bit picture; use format = 'tiff'")
    if lab.quality > 100:
        raise file.wrong("quality", "a whole number from 1 to 100")
    if lab.ppi > 2880:
        raise file.wrong("ppi", "a whole number from 72 to 2880")
