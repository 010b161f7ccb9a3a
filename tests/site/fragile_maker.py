"""A maker whose engraver does what the title of the music says: break down, hang, grow."""

import os
import time
from collections.abc import Sequence

from stavewright.figures.figure import Drawing, EngravingFault, EngravingJob
from stavewright.site.making import maker

_PIECE = 16 << 20


class Fragile:
    """Draws nothing, and not for long."""

    def engrave(self, jobs: Sequence[EngravingJob]) -> list[Drawing | EngravingFault]:
        """See `Engraver`."""
        for job in jobs:
            if "BREAKS" in job.mei:
                os.abort()
            if "HANGS" in job.mei:
                time.sleep(600)
            if "GROWS" in job.mei:
                held = []
                while True:
                    held.append(b"x" * _PIECE)
            if "ONCE" in job.mei and not os.path.exists(os.environ["FRAGILE_ONCE"]):
                with open(os.environ["FRAGILE_ONCE"], "w"):
                    os.abort()
            if "ERRS" in job.mei:
                raise KeyError("stem")
        return [Drawing("<svg></svg>", 300.0, 10.0) for _ in jobs]


def main() -> None:
    """See `maker.main`."""
    maker.main(Fragile())
