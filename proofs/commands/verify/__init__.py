"""``proofs verify``: a delivery read back from its own files."""
