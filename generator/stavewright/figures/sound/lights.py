"""When what is no note is lit: symbols and keys, through repeats and tempos like the notes."""

from collections.abc import Iterator, Sequence

from stavewright.figures.sound.clockwork import Pass, heard
from stavewright.figures.sound.performance import Lit
from stavewright.figures.sound.untimed import bare_step
from stavewright.figures.stretches import Stretch, stretches
from stavewright.figures.timeline import TempoMap
from stavewright.notation.score import Score, Voice


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
                yield Lit(stretch.id, *(heard(here, at, tempos) for at in (start, until)))


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
