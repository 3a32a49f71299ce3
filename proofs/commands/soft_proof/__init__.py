"""The soft proof of a run: each print through the lab's profile, measured and shown."""
