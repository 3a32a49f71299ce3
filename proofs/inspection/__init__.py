"""Judgements on arrays of pixels; pure numpy."""
