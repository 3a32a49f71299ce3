"""``proofs deliver``: files on the lab's sheets, and the order that goes with them."""
