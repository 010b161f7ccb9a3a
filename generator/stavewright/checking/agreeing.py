"""Whether a chord symbol and a numeral can be two names of one harmony."""

from stavewright.theory.chord import Chord


def agrees(symbol: Chord, numeral: Chord) -> bool:
    """Whether a chord symbol and the chord of a numeral can be two names of one harmony.

    One may say more than the other (G and V7), and a lead sheet may write an augmented sixth as the
    dominant seventh it sounds like.
    """
    if not _basses_agree(symbol, numeral):
        return False
    sounds = {name.cents for name in symbol.names}
    others = {name.cents for name in numeral.names}
    if sounds == others:
        return True
    if symbol.root is None or numeral.root is None:
        return False
    if not symbol.root.sounds_like(numeral.root):
        return False
    return all(_same_form(symbol, numeral, number) for number in (3, 5, 7))


def _same_form(symbol: Chord, numeral: Chord, number: int) -> bool:
    one, other = symbol.tone_numbered(number), numeral.tone_numbered(number)
    return one is None or other is None or one.name.sounds_like(other.name)


def _basses_agree(symbol: Chord, numeral: Chord) -> bool:
    """A plain symbol leaves the bass open; a slash does not."""
    return symbol.bass == symbol.root or symbol.bass.sounds_like(numeral.bass)
