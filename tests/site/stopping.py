"""A process that publishes and is killed before the n-th program that it would start."""

import os
import sys
from collections.abc import Callable

from tests.faults.dying import KILLED


def publish_until(step: int, publish: Callable[[], object]) -> None:
    """Publish, and die before the program with this number, from 0, if so many are started."""
    left = step

    def count(event: str, _arguments: tuple[object, ...]) -> None:
        nonlocal left
        if event == "subprocess.Popen":
            if left == 0:
                os._exit(KILLED)
            left -= 1

    sys.addaudithook(count)
    publish()
