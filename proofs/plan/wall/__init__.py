"""The mounts of a run, hung side by side on a wall."""
