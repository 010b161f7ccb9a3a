"""How everything sounds: one table for the player in the page and for sound that is rendered here.

The table is `recipe.json`. Themes get it as the module `sound-recipe.js`, so that what a reader
hears and what an author puts under a video cannot drift apart.
"""

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

RECIPE_JSON: Final = Path(__file__).with_name("recipe.json")


@dataclass(frozen=True, slots=True)
class Falling:
    """A tone of percussion, falling (or rising) within half its time."""

    start: float
    """Hertz."""
    end: float
    """Hertz."""
    seconds: float


@dataclass(frozen=True, slots=True)
class Rattle:
    """Filtered noise."""

    kind: str
    """`highpass` or `bandpass`, as the Web Audio API defines them, of quality 1."""
    hertz: float
    seconds: float
    share: float
    """How loud, beside the hit's own loudness."""


@dataclass(frozen=True, slots=True)
class Hit:
    """One instrument of the percussion."""

    tone: Falling | None
    noise: Rattle | None


@dataclass(frozen=True, slots=True)
class ToneShape:
    """How a tone begins, is held and ends; times in seconds."""

    harmonics: tuple[float, ...]
    """Loudness of each, from the first."""
    peak: float
    curve: float
    """Loudness grows with this power of MIDI's velocity."""
    attack: float
    held: float
    """What a held tone fades to, as a share of its peak …"""
    fade: float
    """… with this time constant."""
    release: float
    shortest: float


@dataclass(frozen=True, slots=True)
class HitShape:
    """How a hit begins and fades."""

    peak: float
    curve: float
    noise: float
    """How loud noise is beside a tone."""
    attack: float
    floor: float
    """The share of its peak that a hit has faded to when its time is over."""


@dataclass(frozen=True, slots=True)
class Recipe:
    """The whole table."""

    master: float
    raised: float
    """How much louder the player's limiter makes what it lets through."""
    level: float
    tone: ToneShape
    hit: HitShape
    percussion: tuple[tuple[int, Hit], ...]
    """By the numbers of General MIDI's percussion map."""
    plain: Hit
    """For a number that the table lacks."""

    def instrument(self, key: int) -> Hit:
        """What a number of the percussion map sounds like."""
        return dict(self.percussion).get(key, self.plain)


@cache
def recipe() -> Recipe:
    """The table, read."""
    data = json.loads(RECIPE_JSON.read_text("utf-8"))
    tone, hit = _plain(data["tone"]), _plain(data["hit"])
    return Recipe(
        master=data["output"]["master"],
        raised=data["output"]["raised"],
        level=data["output"]["level"],
        tone=ToneShape(**{**tone, "harmonics": tuple(tone["harmonics"])}),
        hit=HitShape(**hit),
        percussion=tuple((int(key), _hit(value)) for key, value in data["percussion"].items()),
        plain=_hit(data["plain"]),
    )


def _plain(group: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in group.items() if name != "about"}


def _hit(value: dict[str, Any]) -> Hit:
    tone, noise = value.get("tone"), value.get("noise")
    return Hit(Falling(*tone) if tone else None, Rattle(*noise) if noise else None)
