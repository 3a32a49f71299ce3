"""``proofs deliver``: the files for a lab, on its paper sheets, and the order for them."""
