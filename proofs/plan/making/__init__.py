"""What decides the bytes of each file that a run makes, and its key."""
