"""Settings that all tests share."""

from hypothesis import settings

# A busy machine must not fail a law for being slow, and a run must be the same every time.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")
