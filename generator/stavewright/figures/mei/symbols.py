"""Chord symbols, numerals and figures as runs of text: what is raised, what is stacked.

A run carries real Unicode signs; the drawing sets them in the signs' own font.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import count
from typing import Final

from stavewright.figures.mei.markup import Attributes, attributes, element, escaped
from stavewright.figures.svg.text import DOWN_MARK, UP_MARK
from stavewright.notation.score import BassFigure
from stavewright.theory.chord_parts import ChordParts
from stavewright.theory.numeral import NumeralParts

_ACCIDENTALS: Final = {
    "": "",
    "#": "♯",
    "##": "𝄪",
    "###": "♯𝄪",
    "b": "♭",
    "bb": "𝄫",
    "bbb": "♭𝄫",
    "n": "♮",
}
_BEFORE_FIGURE: Final = re.compile(r"(##|#|bb|b)(?=\d)")
_RAISED_SIZE: Final = "14pt"
"""Of raised and stacked runs: the engraver takes 58 % of it, which makes 11 pixels of 16."""
_SMALL_SIZE: Final = "80%"


class Setting(Enum):
    """How a run of text is set."""

    LINE = "line"
    SMALL = "small"
    RAISED = "raised"
    UPPER = "upper"
    """The upper of two stacked figures."""
    LOWER = "lower"
    """The lower one; always after an UPPER."""


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text set in one way."""

    text: str
    setting: Setting = Setting.LINE


def accidental_text(signs: str) -> str:
    """Accidentals as signs: `##` as a double sharp; more than three of a kind one by one."""
    if signs in _ACCIDENTALS:
        return _ACCIDENTALS[signs]
    return "".join(_ACCIDENTALS.get(sign, sign) for sign in signs)


def figures_text(text: str) -> str:
    """Accidentals before figures as signs: `b5` as ♭5."""
    return _BEFORE_FIGURE.sub(lambda match: _ACCIDENTALS[match[1]], text)


def chord_runs(parts: ChordParts) -> tuple[Run, ...]:
    """A chord symbol, ready to set."""
    if parts.upper is not None:
        lower = ChordParts(*_fields_without_upper(parts))
        return (Run("("), *chord_runs(parts.upper), Run(")/("), *chord_runs(lower), Run(")"))
    runs = [Run(parts.root + accidental_text(parts.accidental) + parts.quality)]
    if parts.raised:
        runs.append(Run(figures_text("".join(_spaced(parts.raised))), Setting.RAISED))
    if parts.bass:
        runs.append(Run("/" + parts.bass + accidental_text(parts.bass_accidental)))
    return tuple(runs)


def _fields_without_upper(
    parts: ChordParts,
) -> tuple[str, str, str, tuple[str, ...], str, str]:
    return (
        parts.root,
        parts.accidental,
        parts.quality,
        parts.raised,
        parts.bass,
        parts.bass_accidental,
    )


def _spaced(pieces: Sequence[str]) -> Iterator[str]:
    """A thin space between figures that would run together: 7 and 9 are not 79."""
    for place, piece in enumerate(pieces):
        if place and pieces[place - 1][-1].isdigit() and piece[0].isdigit():
            yield "\u2009"
        yield piece


def numeral_runs(parts: NumeralParts) -> tuple[Run, ...]:
    """A Roman numeral, ready to set."""
    sign = {"o": "°"}.get(parts.sign, parts.sign)
    runs = [Run(accidental_text(parts.accidental) + parts.body)]
    if sign:
        runs.append(Run(sign, Setting.LINE if sign == "°" else Setting.RAISED))
    figures = tuple(figures_text(figure) for figure in parts.figures)
    if figures:
        stack = _stack(figures)
        runs += [Run("("), *stack, Run(")")] if parts.parenthesised else stack
    if parts.extras:
        runs.append(Run(figures_text(parts.extras), Setting.RAISED))
    for above, below in parts.suspensions:
        runs += [Run("\u00a0"), Run(f"{above}–{below}", Setting.RAISED)]
    if parts.applied_to is not None:
        runs += [Run("/"), *numeral_runs(parts.applied_to)]
    return tuple(runs)


def _stack(figures: Sequence[str]) -> list[Run]:
    """One figure is raised, two are stacked; of three the last two share the lower place."""
    if len(figures) == 1:
        return [Run(figures[0], Setting.RAISED)]
    return [Run(figures[0], Setting.UPPER), Run("\u2009".join(figures[1:]), Setting.LOWER)]


def bass_figure_text(figure: BassFigure) -> str:
    """One figure of a figured bass; a lone accidental stands for the third."""
    number = "" if figure.number is None else str(figure.number)
    return accidental_text(figure.accidental) + number


class RunWriter:
    """Writes runs as MEI has them; stacked pairs get ids that the drawing looks for."""

    def __init__(self) -> None:
        self._pairs = count(1)
        self._pair = 0

    def written(self, runs: Iterable[Run]) -> str:
        """The runs as the inside of a text element."""
        return "".join(map(self._run, runs))

    def _run(self, run: Run) -> str:
        text = escaped(run.text)
        if run.setting is Setting.LINE:
            return text
        return element("rend", attributes(self._look(run.setting)), text)

    def _look(self, setting: Setting) -> Attributes:
        if setting is Setting.SMALL:
            return {"fontsize": _SMALL_SIZE}
        if setting is Setting.RAISED:
            return {"rend": "sup", "fontsize": _RAISED_SIZE}
        if setting is Setting.UPPER:
            self._pair = next(self._pairs)
            return {"xml:id": f"{UP_MARK}{self._pair}", "rend": "sup", "fontsize": _RAISED_SIZE}
        return {"xml:id": f"{DOWN_MARK}{self._pair}", "rend": "sub", "fontsize": _RAISED_SIZE}
