"""The soft proof of a run: each print converted by the lab's profile, measured and shown."""
