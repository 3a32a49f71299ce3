"""``proofs profiles``: profiles listed, checked and written."""
