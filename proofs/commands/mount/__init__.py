"""``proofs mount``: all files for the bench."""
