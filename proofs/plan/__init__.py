"""Decisions; pure functions of values, standard library only."""
