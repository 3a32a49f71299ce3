"""A folder or module for each command: its order, its worker, its record and its text."""
