"""``proofs inspect``: each picture looked at in the pixels of its print."""
