"""Several exhibitions: what they can share, and what they need at the same time."""
