"""Square codes that a telephone reads (QR Code, ISO/IEC 18004)."""

import segno

_QUIET = 4  # modules left free all round, as the standard asks


def qr_modules(text: str) -> tuple[tuple[bool, ...], ...]:
    """Return the code of a text, row by row, with its quiet zone; nothing where it is too long."""
    try:
        code = segno.make_qr(text, error="m", boost_error=False)
    except segno.DataOverflowError:
        return ()
    return tuple(tuple(bool(module) for module in row) for row in code.matrix_iter(border=_QUIET))
