"""Pictures and colours in a PDF: each states the sRGB profile, which is stored once."""

import io
from collections.abc import Callable
from typing import Any

from reportlab.pdfbase import pdfdoc, pdfutils
from reportlab.pdfgen.canvas import Canvas

from proofs.outside.pixels.colour.spaces import built_in_profile

_PROFILE = "srgb-profile"


def draw_jpeg(
    canvas: Canvas,
    name: str,
    picture: Callable[[], bytes],
    box: tuple[float, float, float, float],
) -> None:
    """Place a JPEG as it is; the same content is stored once.

    The library names pictures by their path, so that another folder would change the bytes;
    here they are named by their content.
    """
    internal = canvas._doc.getXObjectName(name)
    if not canvas._doc.hasForm(name):
        canvas._doc.addForm(name, _PlacedPicture(picture, _srgb(canvas)))
    left, bottom, width, height = box
    canvas.saveState()
    canvas.translate(left, bottom)
    canvas.scale(width, height)
    canvas._code.append(f"/{internal} Do")
    canvas.restoreState()
    canvas._formsinuse.append(name)


class _PlacedPicture(pdfdoc.PDFObject):  # type: ignore[misc]  # the library has no types
    """A JPEG stream with its colour profile.

    The library's own pictures state no colour space, so that every viewer has to guess.
    """

    def __init__(self, content: Callable[[], bytes], colours: Any) -> None:
        self._content = content
        self._colours = colours

    def format(self, document: Any) -> Any:
        """Return the object as written to the file; the library calls this."""
        content = self._content()
        width, height, channels, *_ = pdfutils.readJPEGInfo(io.BytesIO(content))
        if channels != 3:
            raise ValueError(f"a JPEG of {channels} channels on a page; RGB is expected")
        stream = pdfdoc.PDFStream(content=content)
        stream.dictionary["Type"] = _name("XObject")
        stream.dictionary["Subtype"] = _name("Image")
        stream.dictionary["Width"] = width
        stream.dictionary["Height"] = height
        stream.dictionary["BitsPerComponent"] = 8
        stream.dictionary["ColorSpace"] = pdfdoc.PDFArray([_name("ICCBased"), self._colours])
        stream.dictionary["Filter"] = pdfdoc.PDFArray([_name("DCTDecode")])
        stream.dictionary["Length"] = len(content)
        return stream.format(document)


def _name(word: str) -> Any:
    return pdfdoc.PDFName(word)


def _srgb(canvas: Canvas) -> Any:
    """The sRGB profile, stored once in the document."""
    document = canvas._doc
    if _PROFILE not in document.idToObject:
        about = {"N": 3, "Alternate": _name("DeviceRGB")}
        dictionary = pdfdoc.PDFDictionary(about)
        packed = [pdfdoc.PDFZCompress]
        stream = pdfdoc.PDFStream(dictionary, built_in_profile("srgb"), filters=packed)
        return document.Reference(stream, _PROFILE)
    return pdfdoc.PDFObjectReference(_PROFILE)


def tag_srgb(canvas: Canvas) -> None:
    """Mark the whole document's plain RGB numbers as sRGB."""
    catalog = canvas._doc.Catalog
    intent = {
        "Type": _name("OutputIntent"),
        "S": _name("GTS_PDFA1"),
        "OutputConditionIdentifier": pdfdoc.PDFString("sRGB"),
        "DestOutputProfile": _srgb(canvas),
    }
    catalog.__NoDefault__ = catalog.__Refs__ = [*catalog.__NoDefault__, "OutputIntents"]
    catalog.OutputIntents = pdfdoc.PDFArray([pdfdoc.PDFDictionary(intent)])
