"""``proofs measure``: one picture file from elsewhere, measured."""
