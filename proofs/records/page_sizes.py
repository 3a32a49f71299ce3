"""The sizes of pages for home printers."""

from proofs.lengths import Size, inches, millimetres

PAGE_SIZES = {
    "a4": Size(millimetres(210), millimetres(297)),  # ISO 216
    "letter": Size(inches("8.5"), inches(11)),
}
