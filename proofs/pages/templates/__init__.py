"""The templates: each board with its openings at full size."""
