"""A scale: its notes, its steps, its way down, its other names, and scales of the same notes."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from stavewright.articles.worked.answer import Answer, rows
from stavewright.articles.worked.pasting import block, claim, clef_for, clef_line, listed
from stavewright.theory.key import Key, Mode
from stavewright.theory.key_relations import signature_words
from stavewright.theory.scale import Scale
from stavewright.theory.scale_kinds import SCALE_KINDS

if TYPE_CHECKING:
    from stavewright.theory.scale_kinds import ScaleKind


def scale_answer(text: str) -> Answer:
    """Work out a scale such as `D dorian` or `C4 steps 200 150 150 …`; raises TheoryError."""
    scale = Scale.parse(text)
    facts = (
        ("notes", listed(scale.names)),
        ("degrees", " ".join(scale.degrees)),
        ("steps", _steps(scale)),
        ("coming down", listed(scale.falling_names) if scale.falling != scale.intervals else ""),
        ("signature", _signature(scale)),
        ("also called", ", ".join(_aliases(scale))),
        ("same notes", ", ".join(_relatives(scale))),
    )
    drawn = scale if scale.octave is not None else Scale.parse(f"{scale.tonic}4 {scale.name}")
    names = scale.names
    return Answer(
        str(scale),
        rows(*facts),
        _reasons(scale),
        claim("scale", str(scale), listed(names)) if len(names) > 1 else None,
        _block(drawn),
    )


def _block(scale: Scale) -> str | None:
    low, high = min(scale.pitches), max(scale.pitches)
    clef = clef_for([low, high])
    return None if clef is None else block(clef_line(clef), ("scale", str(scale)))


def _steps(scale: Scale) -> str:
    heights = [interval.cents for interval in (*scale.intervals, scale.closing)]
    steps = [high - low for low, high in pairwise(heights)]
    if all(step % 100 == 0 for step in steps):
        return f"{' '.join(str(step // 100) for step in steps)} half steps"
    return f"{' '.join(map(str, steps))} cents"


def _signature(scale: Scale) -> str:
    key = _key(scale)
    return "" if key is None else signature_words(key)


def _key(scale: Scale) -> Key | None:
    """Give the key of a scale that is a mode; None for one without a signature of its own."""
    for mode in Mode:
        if not scale.tonic.is_microtonal and Key(scale.tonic, mode).names == scale.names:
            return Key(scale.tonic, mode)
    return None


def _kind(scale: Scale) -> ScaleKind | None:
    return next((kind for kind in SCALE_KINDS if kind.name == scale.name), None)


def _aliases(scale: Scale) -> list[str]:
    kind = _kind(scale)
    if kind is None:
        return []
    same = [
        other.name
        for other in SCALE_KINDS
        if other is not kind and (other.rising, other.falling) == (kind.rising, kind.falling)
    ]
    return [*kind.aliases, *same]


def _relatives(scale: Scale) -> list[str]:
    """Give the first name of each scale with the same notes from another of them as its tonic."""
    if scale.falling != scale.intervals:
        return []
    own = set(scale.names)
    found = []
    for tonic in scale.names[1:]:
        for kind in SCALE_KINDS:
            same = kind.rising == kind.falling and {tonic + each for each in kind.rising} == own
            if same and len(kind.rising) == len(own):
                found.append(f"{tonic} {kind.name}")
                break
    return found


def _reasons(scale: Scale) -> tuple[str, ...]:
    found = []
    if _key(scale) is None:
        found.append("It has no key signature of its own; accidentals are written as they come.")
    if scale.name.startswith("steps") and any(name.is_microtonal for name in scale.names):
        found.append(
            "Cents in parentheses add to the note they follow: E(-50) is E lowered by half a half "
            "step. A scale is not a tradition: say what the steps leave out."
        )
    return tuple(found)
