"""What every test shares: property tests that try the same examples on every run.

A change must not fail for an example it did not cause. `STAVEWRIGHT_SEARCH=wide pytest` looks for
new ones, with other examples on each run; what it finds becomes a case.
"""

import os

from hypothesis import settings

settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("wide", deadline=None, print_blob=True)
settings.load_profile(os.environ.get("STAVEWRIGHT_SEARCH", "same"))
