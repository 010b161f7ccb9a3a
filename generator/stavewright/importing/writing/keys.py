"""Keys from signatures: the mode is heard where the file names none."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from stavewright.importing.model import Measure, Placed, Signature
from stavewright.importing.remains import Remains
from stavewright.importing.select import Bar
from stavewright.theory import Key, Mode, Pitch, TheoryError, find_keys


@dataclass(frozen=True, slots=True)
class Keys:
    """The keys of an excerpt."""

    opening: Key | None
    """In force where it begins."""
    changes: tuple[tuple[int, Fraction, Key], ...]
    """Each with its bar in the excerpt and its moment there."""


def keys_of(bars: Sequence[Bar], first: int, stop: int, remains: Remains) -> Keys:
    """The keys of the bars from `first` up to `stop`, of all bars of a piece."""
    signatures = list(_signatures(bars[:stop], remains))
    opening: Key | None = None
    changes: list[tuple[int, Fraction, Key]] = []
    for number, (index, at, signature) in enumerate(signatures):
        until = signatures[number + 1][0] if number + 1 < len(signatures) else len(bars)
        heard = [bar.measure for bar in bars[index : max(until, index + 1)]]
        key = _key(signature, heard)
        begins = (index, at) <= (first, Fraction(0))
        if signature.mode is None:
            # The one that holds where the excerpt begins stands before it.
            remains.bar = bars[max(index, first)].indices.start
            if not begins or number + 1 == len(signatures) or signatures[number + 1][0] > first:
                one = f"key signature that names no mode, read as {key}"
                remains.leave(one, many=one.replace("signature that names", "signatures that name"))
        if begins:
            opening = key
        else:
            changes.append((index - first, at, key))
    return Keys(opening, tuple(changes))


def _signatures(bars: Sequence[Bar], remains: Remains) -> Iterator[tuple[int, Fraction, Signature]]:
    """The signatures of the first staff that has one; those of others are only compared."""
    for index, bar in enumerate(bars):
        keys = sorted(bar.measure.keys, key=lambda placed: placed.at)
        remains.bar = bar.indices.start
        first: Placed[Signature] | None = None
        for placed in keys:
            if first is None or placed.at > first.at:
                first = placed
                yield index, placed.at, placed.what
            elif placed.what.fifths != first.what.fifths:
                words = "key signature of one staff that differs from the others'"
                remains.leave(
                    words,
                    placed.staff,
                    many="key signatures of single staves that differ from the others'",
                )


def _key(signature: Signature, measures: Iterable[Measure]) -> Key:
    """The key of a signature; of two that share it, the one that the notes fit better."""
    if signature.mode is not None:
        return Key.of_signature(signature.fifths, signature.mode)
    major = Key.of_signature(signature.fifths)
    minor = Key.of_signature(signature.fifths, Mode.MINOR)
    try:
        ranked = find_keys(_heard(measures))
    except TheoryError:
        return major
    scores = {(fit.key.tonic.pitch_class, fit.key.mode): fit.correlation for fit in ranked}
    fits = [scores.get((key.tonic.pitch_class, key.mode), -1.0) for key in (major, minor)]
    return minor if fits[1] > fits[0] else major


def _heard(measures: Iterable[Measure]) -> Iterator[tuple[Pitch, Fraction]]:
    for measure in measures:
        for stream in measure.streams:
            for sound in stream.sounds:
                for tone in sound.tones:
                    if isinstance(tone.sound, Pitch):
                        yield tone.sound, sound.length
