"""The views in words, as they were agreed: set STAVEWRIGHT_REWRITE=1 to write the file anew."""

import os
from dataclasses import replace

import pytest

from stavewright.figures.views import VIEWS
from tests.figures.views.blocks import ViewCase, read_cases, write_cases

HEAD, CASES = read_cases()


def _said(case: ViewCase) -> dict[str, str]:
    score = case.score
    found = {}
    for view in score.show:
        spoken = VIEWS[view.name].speak(score)
        found[view.name] = "\n".join([spoken.line, *spoken.bars]) + "\n"
    return found


if os.environ.get("STAVEWRIGHT_REWRITE"):
    CASES = tuple(replace(case, spoken=_said(case)) for case in CASES)
    write_cases(HEAD, CASES)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.title)
def test_views_say_what_was_agreed(case: ViewCase) -> None:
    assert _said(case) == case.spoken


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.title)
def test_spoken_text_has_no_signs_and_whole_sentences(case: ViewCase) -> None:
    for words in _said(case).values():
        assert not set("♯♭♮𝄪𝄫𝄲𝄳−") & set(words)
        for line in words.splitlines():
            assert line.endswith(".")
            assert not line[0].islower()
