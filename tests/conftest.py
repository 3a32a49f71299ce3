"""Settings that all tests share."""

from collections.abc import Iterator

import pytest
from hypothesis import settings

# A busy machine must not fail a law for being slow, and a run must be the same every time.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")


@pytest.fixture(scope="session", autouse=True)
def _folders_of_its_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Leave the user's own cache and profiles alone, also in processes that tests start."""
    with pytest.MonkeyPatch.context() as patch:
        for name in ("XDG_CACHE_HOME", "XDG_CONFIG_HOME"):
            patch.setenv(name, str(tmp_path_factory.mktemp("own")))
        # What runs the tests may state the width of its own terminal, which decides where we wrap.
        patch.delenv("COLUMNS", raising=False)
        yield
