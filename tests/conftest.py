"""Settings that all tests share."""

from hypothesis import HealthCheck, settings

# A busy machine must not fail a law for being slow, and a run must be the same every time.
settings.register_profile(
    "steady", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("steady")
