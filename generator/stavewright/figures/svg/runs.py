"""A text element written as one line of runs, instead of spans in spans in spans."""

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from typing import Final

_SPACES: Final = re.compile(r"[ \r\n\t]+")
_PLACING: Final = ("x", "y", "dx", "dy")
_SETTING: Final = ("font-family", "font-size", "font-style", "font-weight")


@dataclass(slots=True)
class _Run:
    """Characters that are set alike, from one place on."""

    text: str
    setting: dict[str, str]
    """Family, size and so on, by the name of the attribute."""
    placing: dict[str, str]
    """Where the first of them stands, or how far it is moved."""


def written(text: ET.Element, look: str) -> str:
    """A text element in fewer words, after the attributes that place it: the rest of the tag, what
    stands in it, and its end. `look` is attributes to add. "" where there is no text."""
    runs = _trimmed(_runs(text))
    if not runs:
        return ""
    size = runs[0].setting.get("font-size", "")
    common = {"font-size": size}
    if len(runs) == 1 and not runs[0].placing:
        common = runs[0].setting
    content = "".join(_span(run, common) for run in runs)
    return f"{look}{_words(common)}>{content}</text>"


def escaped(text: str) -> str:
    """Text for an attribute or between tags."""
    if "&" in text or "<" in text or ">" in text:
        text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return text.replace('"', "&quot;") if '"' in text else text


def _span(run: _Run, common: dict[str, str]) -> str:
    own = {name: value for name, value in run.setting.items() if common.get(name) != value}
    words = _words(run.placing) + _words(own)
    content = escaped(run.text)
    return f"<tspan{words}>{content}</tspan>" if words else content


def _words(values: dict[str, str]) -> str:
    return "".join(f' {name}="{escaped(value)}"' for name, value in values.items())


def _runs(text: ET.Element) -> list[_Run]:
    runs: list[_Run] = []
    if text.text:
        runs.append(_Run(text.text, {}, {}))
    for child in text:
        _gather(child, {}, {}, runs)
    return runs


def _gather(
    span: ET.Element, setting: dict[str, str], placing: dict[str, str], runs: list[_Run]
) -> None:
    """Add the runs of a span; the innermost placing of a character is the one that counts."""
    own = {name: value for name in _SETTING if (value := span.get(name))}
    if "font-size" in own:
        own["font-size"] = own["font-size"].removesuffix("px")
    setting = setting | own
    placing = placing | {name: value for name in _PLACING if (value := span.get(name))}
    if span.text:
        runs.append(_Run(_SPACES.sub(" ", span.text), setting, placing))
        placing = {}
    for child in span:
        before = len(runs)
        _gather(child, setting, placing, runs)
        if len(runs) > before:
            placing = {}


def _trimmed(runs: list[_Run]) -> list[_Run]:
    """Without the space at both ends, which no renderer shows."""
    while runs and not (stripped := runs[-1].text.rstrip(" ")):
        runs.pop()
    if not runs:
        return []
    runs[-1].text = stripped
    while not (stripped := runs[0].text.lstrip(" ")) and not runs[0].placing:
        del runs[0]
    runs[0].text = stripped or runs[0].text
    return runs
