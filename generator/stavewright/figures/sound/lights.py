"""What is lit for longer than one sound: symbols and keys, and ornaments.

Symbols and keys go through repeats and tempos like the notes. An ornament is one light from its
beginning to its end: a dozen flashes in a second would harm some readers.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from stavewright.figures.sound.clockwork import Clock, Pass
from stavewright.figures.sound.performance import Lit, PlayedNote
from stavewright.figures.sound.untimed import bare_step
from stavewright.figures.stretches import Stretch
from stavewright.notation.score import Voice


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
        lit.append(Lit(" ".join(last.ids), first.attack, last.release, last.sound))
        for at in stretch:
            found[at] = replace(notes[at], ids=())
    return found, lit


def lit_in_bars(found: Sequence[Stretch], order: Sequence[Pass], clock: Clock) -> tuple[Lit, ...]:
    """What is lit in bars as they are played."""
    return _in_order(_through(found, order, clock)) if found else ()


def lit_by_bare_heads(found: Sequence[Stretch], voice: Voice, clock: Clock) -> tuple[Lit, ...]:
    """What is lit over bare heads, from the first that a stretch reaches to the last."""
    step = clock.resolution.in_ticks(bare_step(voice))
    lit = []
    for stretch in found:
        inside = [
            index
            for index, event in enumerate(voice.events)
            if stretch.start <= event.start < stretch.end
        ]
        if inside:
            start, end = inside[0] * step, (inside[-1] + 1) * step
            lit.append(Lit(stretch.id, clock.at(start), clock.at(end)))
    return _in_order(lit)


def _through(found: Sequence[Stretch], order: Sequence[Pass], clock: Clock) -> Iterator[Lit]:
    in_ticks = clock.resolution.in_ticks
    rows = [(stretch.id, in_ticks(stretch.start), in_ticks(stretch.end)) for stretch in found]
    for here in order:
        for name, begin, end in rows:
            start, until = max(here.start, begin), min(here.end, end)
            if start < until:
                yield Lit(name, here.delay + clock.at(start), here.delay + clock.at(until))


def _in_order(found: Iterator[Lit] | list[Lit]) -> tuple[Lit, ...]:
    """In order, a stretch that goes on over a bar line as one."""
    merged: dict[str, list[Lit]] = {}
    for each in found:
        rows = merged.setdefault(each.id, [])
        if rows and rows[-1].until == each.begin:
            rows[-1] = Lit(each.id, rows[-1].begin, each.until)
        else:
            rows.append(each)
    everything = (each for rows in merged.values() for each in rows)
    return tuple(sorted(everything, key=lambda each: (each.begin, each.id)))
