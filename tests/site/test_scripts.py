"""The player's modules, joined; that the joined script runs is seen in tests/browser."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from stavewright.site.errors import ThemeError
from stavewright.site.scripts import join_player

CASES = yaml.safe_load((Path(__file__).parent / "data/scripts.yaml").read_text("utf-8"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["title"]))
def test_join(case: dict[str, Any]) -> None:
    modules = {name: text.encode() for name, text in case["modules"].items()}
    if "fault" in case:
        with pytest.raises(ThemeError) as caught:
            join_player(modules)
        assert case["fault"] in str(caught.value)
        return
    joined = join_player(modules)
    assert joined.pop("player.js").decode() == case["script"]
    assert joined.items() <= modules.items()
    assert set(modules) - set(joined) == {"player.js"}


def test_a_theme_without_a_player() -> None:
    assert join_player({"style.css": b"\xff"}) == {"style.css": b"\xff"}


def test_a_player_that_is_no_text() -> None:
    with pytest.raises(ThemeError, match=r"player\.js is no UTF-8"):
        join_player({"player.js": b"\xff"})
