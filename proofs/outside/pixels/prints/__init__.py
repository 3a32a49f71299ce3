"""Finished picture files: composed, encoded and read back."""
