"""Square codes for phones (QR Code, ISO/IEC 18004)."""

import segno

_QUIET = 4  # free modules all round, as the standard requires


def qr_modules(text: str) -> tuple[tuple[bool, ...], ...]:
    """Return the code of a text, row by row, with its quiet zone; none if the text is too long.

    A text beyond ASCII is marked as UTF-8 (ECI 26 of the standard, from memory): otherwise a
    reader has to guess, and the library would write Cyrillic as Shift JIS.
    """
    encoding = None if text.isascii() else "utf-8"
    try:
        code = segno.make_qr(
            text, error="m", boost_error=False, encoding=encoding, eci=encoding is not None
        )
    except segno.DataOverflowError:
        return ()
    return tuple(tuple(bool(module) for module in row) for row in code.matrix_iter(border=_QUIET))
