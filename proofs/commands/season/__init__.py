"""``proofs season``: several exhibitions in one table and one calendar."""
