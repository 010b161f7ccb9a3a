"""What lights up besides notes, and when; and that nothing is drawn to be lit that never is."""

import json
import re
from pathlib import Path

import pytest

from stavewright.figures.sound import encode, perform
from stavewright.figures.views import VIEWS
from stavewright.notation.score import Drum, Score
from tests.cases import Case, cases
from tests.figures.views.blocks import read_cases, score_of

DATA = Path(__file__).parent / "data"
SCORES = [pytest.param(case.score, id=case.title) for case in read_cases()[1]]


@pytest.mark.parametrize("case", cases(DATA / "lights.tsv"))
def test_lit(case: Case) -> None:
    performance = perform(score_of(case["block"].replace("\\n", "\n")))
    seconds = performance.resolution.seconds
    found = [
        f"{each.id} {float(seconds(each.begin)) * 1000:g}-{float(seconds(each.until)) * 1000:g}"
        for each in performance.lit
    ]
    assert sorted(found) == sorted(filter(None, case["lit"].split(", ")))
    rows = json.loads(encode(performance)).get("lit", [])
    assert [row[2] for row in rows] == [each.id for each in performance.lit]


def words(markup: str, kind: str) -> set[str]:
    """Everything that a drawing's `data-…` attributes of a kind name."""
    return {word for text in re.findall(rf'data-{kind}="([^"]*)"', markup) for word in text.split()}


@pytest.mark.parametrize("score", SCORES)
def test_whatever_is_drawn_to_be_lit_is_lit(score: Score) -> None:
    performance = perform(score)
    ids = {name for note in performance.notes for name in note.ids}
    ids |= {each.id for each in performance.lit}
    pitched = [note.sound for note in performance.notes if not isinstance(note.sound, Drum)]
    drums = {f"drum-{n.sound.key_number}" for n in performance.notes if isinstance(n.sound, Drum)}
    keys = {f"{sound.key_number:g}" for sound in pitched} | drums
    classes = {f"{round(sound.key_number % 12, 2):g}" for sound in pitched}
    for view in score.show:
        markup = VIEWS[view.name].draw(score)[0].markup
        assert words(markup, "id") <= ids, view.name
        assert words(markup, "key") <= keys, view.name
        assert words(markup, "class") <= classes, view.name
