"""The labels for the backs, and where each goes."""
