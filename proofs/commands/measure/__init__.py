"""``proofs measure``: picture files from elsewhere, measured."""
