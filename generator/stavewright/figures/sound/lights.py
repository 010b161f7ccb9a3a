"""What is lit for longer than one sound: symbols and keys, and ornaments.

Symbols and keys go through repeats and tempos like the notes. An ornament is one light from its
beginning to its end: a dozen flashes in a second would harm some readers.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from stavewright.figures.sound.clockwork import Pass, heard
from stavewright.figures.sound.performance import Lit, PlayedNote
from stavewright.figures.sound.untimed import bare_step
from stavewright.figures.stretches import Stretch, stretches
from stavewright.figures.timeline import TempoMap
from stavewright.notation.score import Score, Voice


def steadied(
    notes: Sequence[PlayedNote], ornaments: Sequence[range]
) -> tuple[list[PlayedNote], list[Lit]]:
    """The notes of a voice, those of its ornaments without ids, and a light for each ornament.

    `ornaments` are the stretches of `notes` that are one each; their last note is the written one.
    """
    found = list(notes)
    lit = []
    for stretch in ornaments:
        first, last = notes[stretch[0]], notes[stretch[-1]]
        lit.append(Lit(" ".join(last.ids), first.seconds, last.until, last.sound))
        for at in stretch:
            found[at] = replace(notes[at], ids=())
    return found, lit


def lit_in_bars(score: Score, order: Sequence[Pass], tempos: TempoMap) -> tuple[Lit, ...]:
    """What is lit in bars as they are played."""
    return _in_order(_through(score, stretches(score), order, tempos))


def lit_by_bare_heads(score: Score, voice: Voice, tempos: TempoMap) -> tuple[Lit, ...]:
    """What is lit over bare heads, from the first that a stretch reaches to the last."""
    step = bare_step(voice)
    found = []
    for stretch in stretches(score):
        inside = [
            index
            for index, event in enumerate(voice.events)
            if stretch.start <= event.start < stretch.end
        ]
        if inside:
            start, end = inside[0] * step, (inside[-1] + 1) * step
            found.append(Lit(stretch.id, tempos.seconds_at(start), tempos.seconds_at(end)))
    return _in_order(found)


def _through(
    score: Score, found: Sequence[Stretch], order: Sequence[Pass], tempos: TempoMap
) -> Iterator[Lit]:
    for here in order:
        begin = here.start
        end = begin + score.bars[here.bar].length
        for stretch in found:
            start, until = max(begin, stretch.start), min(end, stretch.end)
            if start < until:
                yield Lit(stretch.id, heard(here, start, tempos), heard(here, until, tempos))


def _in_order(found: Iterator[Lit] | list[Lit]) -> tuple[Lit, ...]:
    """In order, a stretch that goes on over a bar line as one."""
    merged: dict[str, list[Lit]] = {}
    for each in found:
        rows = merged.setdefault(each.id, [])
        if rows and rows[-1].until == each.seconds:
            rows[-1] = Lit(each.id, rows[-1].seconds, each.until)
        else:
            rows.append(each)
    everything = (each for rows in merged.values() for each in rows)
    return tuple(sorted(everything, key=lambda each: (each.seconds, each.id)))
