"""``proofs make``: print files, mock-ups, the proof sheet and the report of a run."""
