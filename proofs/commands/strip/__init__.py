"""``proofs strip``: test strips that show the same part of a picture at each step."""
