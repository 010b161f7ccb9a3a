"""How long and how often property tests of articles run: enough to find, too short to hang."""

from datetime import timedelta

from hypothesis import settings

FUZZ = settings(deadline=timedelta(seconds=10), max_examples=200)
