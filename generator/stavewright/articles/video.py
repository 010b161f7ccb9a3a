"""Times in a video: how they are written, and the addresses that open it at one of them."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from stavewright.articles.article import Heading, Video
from stavewright.notation.finding import Finding, Severity

TIMECODE = r"[0-9]{1,4}(?::[0-9]{1,4}){1,2}"
"""What looks like a timecode, right or wrong."""

_TIMECODE = re.compile(TIMECODE)
_MINUTES_SECONDS = re.compile(r"([0-9]{1,4}):([0-5][0-9])")
_HOURS_MINUTES_SECONDS = re.compile(r"([0-9]{1,3}):([0-5][0-9]):([0-5][0-9])")


def parse_timecode(text: str) -> int | None:
    """Seconds from `m:ss` or `h:mm:ss`; None for anything else."""
    if match := _MINUTES_SECONDS.fullmatch(text):
        return int(match[1]) * 60 + int(match[2])
    if match := _HOURS_MINUTES_SECONDS.fullmatch(text):
        return int(match[1]) * 3600 + int(match[2]) * 60 + int(match[3])
    return None


def format_timecode(seconds: int) -> str:
    """`m:ss`, or `h:mm:ss` from one hour on."""
    minutes, rest = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def nearest_timecode(text: str) -> str | None:
    """What a mistyped time most likely means: `1:4` as `1:04`; None where nobody can tell."""
    if not _TIMECODE.fullmatch(text):
        return None
    numbers = [int(number) for number in text.split(":")]
    if any(number > 59 for number in numbers[1:]):
        return None
    seconds = 0
    for number in numbers:
        seconds = seconds * 60 + number
    timecode = format_timecode(seconds)
    return timecode if parse_timecode(timecode) is not None else None


def address_at(video: Video, seconds: int) -> str:
    """The video's address at a time.

    Each host has a query of its own for this; the standard one is the temporal dimension of a
    fragment (W3C Media Fragments URI 1.0, section 4.2.1), in seconds.
    """
    base, hash_sign, fragment = video.address.partition("#")
    joined = f"{fragment}&t={seconds}" if hash_sign and fragment else f"t={seconds}"
    return f"{base}#{joined}"


@dataclass(frozen=True, slots=True)
class Chapter:
    """A stretch of the video that a heading of the article names."""

    seconds: int
    title: str
    anchor: str | None
    """The section's anchor; None for the opening that no heading names."""


def chapters(headings: Iterable[Heading], opening: str) -> tuple[Chapter, ...]:
    """The headings that give a time, in rising order, from 0:00.

    Players show chapters only if the first one begins at 0:00, so where no heading does, a
    chapter called `opening` is put before them. Of two headings at one time the first counts.
    """
    by_time: dict[int, Chapter] = {}
    for heading in headings:
        if heading.seconds is not None:
            chapter = Chapter(heading.seconds, heading.text, heading.anchor)
            by_time.setdefault(heading.seconds, chapter)
    if not by_time:
        return ()
    by_time.setdefault(0, Chapter(0, opening, None))
    return tuple(by_time[seconds] for seconds in sorted(by_time))


def check_times(headings: Iterable[Heading], video: Video | None) -> Iterator[Finding]:
    """Times in headings rise, lie inside the video, and have a video to lie in."""
    latest = -1
    for heading in headings:
        if heading.seconds is None:
            continue
        written = format_timecode(heading.seconds)
        if video is None:
            yield Finding(
                "front-matter",
                Severity.WARNING,
                heading.span,
                f"The heading gives the time {written}, but the article names no video",
                reason="Without `video:` in the front matter a reader cannot go to that time.",
            )
            return
        if heading.seconds >= video.seconds:
            yield Finding(
                "front-matter",
                Severity.ERROR,
                heading.span,
                f"The heading's time {written} is past the end of the video, "
                f"which is {format_timecode(video.seconds)} long",
            )
        elif heading.seconds <= latest:
            yield Finding(
                "front-matter",
                Severity.ERROR,
                heading.span,
                f"The heading's time {written} is not after {format_timecode(latest)}, "
                "the time of the heading before it",
                reason="Sections follow the video, so that its chapters are in order.",
            )
        else:
            latest = heading.seconds
