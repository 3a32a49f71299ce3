"""Settings that all tests share."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

# A busy machine must not fail a law for being slow, and a run must be the same every time.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")


@pytest.fixture(scope="session", autouse=True)
def _cache_of_its_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Leave the user's own cache alone, also in processes that tests start."""
    folder: Path = tmp_path_factory.mktemp("cache")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(folder))
        yield
