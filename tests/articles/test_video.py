"""Times, and addresses that open a video at one."""

from urllib.parse import urlsplit

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.articles.article import Video
from stavewright.articles.video import (
    address_at,
    chapters,
    format_timecode,
    nearest_timecode,
    parse_timecode,
)
from tests.articles.fuzz import FUZZ
from tests.articles.shown import read
from tests.articles.yaml_cases import DATA
from tests.cases import Case, cases


@pytest.mark.parametrize("case", cases(DATA / "timecodes.tsv"))
def test_timecode(case: Case) -> None:
    seconds = parse_timecode(case["text"])
    assert seconds == (int(case["seconds"]) if case["seconds"] else None)
    if seconds is None:
        assert nearest_timecode(case["text"]) == (case["meant"] or None)


@FUZZ
@given(st.integers(0, 999 * 3600 + 3599))
def test_times_survive_writing(seconds: int) -> None:
    assert parse_timecode(format_timecode(seconds)) == seconds


@FUZZ
@given(st.text())
def test_any_text_is_a_time_or_none(text: str) -> None:
    meant = nearest_timecode(text)
    assert meant is None or parse_timecode(meant) is not None


def test_the_time_is_a_media_fragment() -> None:
    # W3C Media Fragments URI 1.0 (basic), section 4.2.1: `t=` in normal play time, seconds.
    plain = Video("https://video.example/watch?v=1", 200)
    assert address_at(plain, 102) == "https://video.example/watch?v=1#t=102"
    track = Video("https://video.example/a.mp4#track=audio", 200)
    assert urlsplit(address_at(track, 102)).fragment == "track=audio&t=102"


def test_chapters_begin_at_nought() -> None:
    late = read("## One [0:30]\n\n## Two [1:00]\n\n## Untimed\n")
    assert [
        (part.seconds, part.title, part.anchor) for part in chapters(late.headings, "Hello")
    ] == [
        (0, "Hello", None),
        (30, "One", "one"),
        (60, "Two", "two"),
    ]
    early = read("## Now [0:00]\n\n## Then [1:00]\n")
    assert [part.title for part in chapters(early.headings, "Hello")] == ["Now", "Then"]
    assert chapters(read("## Untimed").headings, "Hello") == ()
