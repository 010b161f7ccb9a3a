"""Reads cases from YAML files: a list of groups, each with a unique `title`.

Texts are block literals, so that an article in a case looks as it does in an editor.
"""

from pathlib import Path
from typing import Any

import pytest
import yaml

DATA = Path(__file__).parent / "data"
Case = dict[str, Any]


def yaml_cases(name: str) -> list[object]:
    """The cases of a file as parameters for `pytest.mark.parametrize`."""
    found: list[Case] = yaml.safe_load((DATA / name).read_text(encoding="utf-8"))
    titles = [case["title"] for case in found]
    if len(set(titles)) != len(titles):
        raise ValueError(f"{name}: a title is used twice")
    return [pytest.param(case, id=f"{name}: {case['title']}") for case in found]
