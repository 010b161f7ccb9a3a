"""The steps as a text file, for whoever lays pictures on a video's time line by hand."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from stavewright.figures.stills.steps import Step

RATES: Final = (25, 30)
"""Frames a second that times are told in."""
_HEADINGS: Final = ("step", "start_seconds", "length_seconds")


def frame_at(seconds: Fraction, rate: int) -> int:
    """The frame that is nearest to a moment, from 0; half a frame goes to the later one."""
    return int(seconds * rate + Fraction(1, 2))


def frames_of(steps: Sequence[Step], rate: int) -> list[tuple[int, int]]:
    """The first frame of each step, and how many it lasts.

    A step lasts until the next begins, so that nothing drifts; one too short for this rate lasts no
    frame at all.
    """
    firsts = [frame_at(step.start, rate) for step in steps]
    ends = [*firsts[1:], frame_at(steps[-1].start + steps[-1].length, rate)] if steps else []
    return [(first, end - first) for first, end in zip(firsts, ends, strict=True)]


def timetable(steps: Sequence[Step]) -> str:
    """Columns with tabs between, a line a step; the number is the one in the pictures' names."""
    heads = [*_HEADINGS]
    for rate in RATES:
        heads += [f"start_frame_at_{rate}", f"frames_at_{rate}"]
    lines = ["\t".join(heads)]
    by_rate = [frames_of(steps, rate) for rate in RATES]
    for place, step in enumerate(steps):
        cells = [step_number(place, len(steps)), _seconds(step.start), _seconds(step.length)]
        for frames in by_rate:
            cells += map(str, frames[place])
        lines.append("\t".join(cells))
    return "\n".join(lines) + "\n"


def step_number(place: int, count: int) -> str:
    """The number of the step at `place` (from 0), with zeros in front so that names sort."""
    return str(place + 1).zfill(max(3, len(str(count))))


def _seconds(time: Fraction) -> str:
    return f"{float(time):.6f}"
