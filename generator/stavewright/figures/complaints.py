"""What the engraver complains of: it writes to file descriptor 2, below Python's streams.

Its words are the only sign that it pressed notes together or why it refused a text.
"""

import os
import weakref
from collections.abc import Iterator
from contextlib import contextmanager


class Complaints:
    """What is written to file descriptor 2 at certain times, and nothing else.

    The file is kept between them: to make one takes longer than to draw a bar.
    """

    def __init__(self) -> None:
        import tempfile  # here: a maker that finds every drawing kept never comes by

        self._file = tempfile.TemporaryFile(buffering=0)  # noqa: SIM115 - kept, and closed below
        weakref.finalize(self, self._file.close)

    @contextmanager
    def caught(self) -> Iterator[None]:
        """Catch what is written meanwhile; what was caught before is forgotten."""
        if self._file.tell():
            self._file.seek(0)
            self._file.truncate()
        kept = os.dup(2)
        os.dup2(self._file.fileno(), 2)
        try:
            yield
        finally:
            os.dup2(kept, 2)
            os.close(kept)

    def read(self) -> str:
        """What was caught last."""
        # The two descriptors share one place in the file: it stands where the last word ended.
        written = self._file.tell()
        if not written:
            return ""
        self._file.seek(0)
        return self._file.read(written).decode("utf-8", "replace")


def first_error(said: str) -> str:
    """The engraver's own words for its first error, on one line; "" where it named none."""
    errors = [line.split("]", 1)[-1].strip() for line in said.splitlines() if "[Error]" in line]
    return errors[0][:200] if errors else ""
