"""What every test shares: property tests that try the same examples on every run.

A change must not fail for an example it did not cause. `STAVEWRIGHT_SEARCH=wide pytest` looks for
new ones, with other examples on each run; what it finds becomes a case.
"""

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

from stavewright.site.store import ENVIRONMENT

settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("wide", deadline=None, print_blob=True)
settings.load_profile(os.environ.get("STAVEWRIGHT_SEARCH", "same"))


@pytest.fixture(autouse=True, scope="session")
def _no_store_but_the_tests_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep commands, in this process and in others it starts, out of the user's own cache."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(ENVIRONMENT, str(tmp_path_factory.mktemp("stores")))
        yield
