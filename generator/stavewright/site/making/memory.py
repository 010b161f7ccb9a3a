"""A limit to the memory that a process may take while it draws."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

if sys.platform == "linux":
    import resource

_STATUS = Path("/proc/self/statm")


@contextmanager
def limited(more: int) -> Iterator[None]:
    """Let the process take no more than `more` bytes beyond what it has.

    Past the limit Python raises `MemoryError`, and the engraver, which is not ready for that, ends
    the process. Only Linux holds a process to such a limit and says how much it has; elsewhere
    nothing is limited here, and a block that grows is stopped by its time.
    """
    if sys.platform != "linux":
        yield
        return
    soft, hard = resource.getrlimit(resource.RLIMIT_AS)
    pages = int(_STATUS.read_text("ascii").split()[0])
    wanted = pages * resource.getpagesize() + more
    bounds = [wanted, *(limit for limit in (soft, hard) if limit != resource.RLIM_INFINITY)]
    resource.setrlimit(resource.RLIMIT_AS, (min(bounds), hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, (soft, hard))
