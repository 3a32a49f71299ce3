"""Questions whose answers make a profile."""
