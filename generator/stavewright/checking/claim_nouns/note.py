"""`note:` a pitch and its frequency, its key number or its other name."""

from stavewright.checking.claim_truth import Truth
from stavewright.checking.respelling import other_names, respelled
from stavewright.notation.claim import Frequency, KeyNumber, Statement, Subject
from stavewright.theory.pitch import Letter, Pitch, PitchName

_SAME_TO_THE_EAR = 5
"""Cents. Smaller differences between two tones one after the other are hardly noticed."""
_A4 = Pitch(Letter.A, 0, 4)
_EXACTNESS = ("to the hertz", "to a tenth of a hertz", "to a hundredth of a hertz")


def note_truth(subject: Subject, statement: Statement, written: str) -> Truth | None:
    """The truth about a note; None for sides that cannot be compared."""
    match subject, statement:
        case Pitch() as pitch, Frequency() as said:
            return _frequency(pitch, said)
        case Pitch() as pitch, KeyNumber() as number:
            return _key_number(pitch, number, written)
        case Pitch() as pitch, Pitch() as other:
            return _pitches(pitch, other)
        case (Pitch() | PitchName()) as one, (Pitch() | PitchName()) as two:
            return _names(_name(one), _name(two))
        case PitchName() as name, (Frequency() | KeyNumber()):
            fact = f"{name} without an octave is no single pitch; say {name}4 or another"
            return Truth(False, False, fact)
    return None


def _frequency(pitch: Pitch, said: Frequency) -> Truth:
    hertz = pitch.hertz()
    within = abs(hertz - float(said.hertz)) <= 0.5 * 10**-said.decimals + 1e-9
    near = 2 ** (_SAME_TO_THE_EAR / 1200)
    alike = within or 1 / near <= float(said.hertz) / hertz <= near
    exactness = _EXACTNESS[min(said.decimals, 2)]
    right = f"{hertz:.{said.decimals}f} Hz"
    fact = f"{pitch} is {right} {exactness}"
    if pitch != _A4:
        fact = f"where A4 is 440 Hz, {fact}"
    reason = "ISO 16 sets A4 at 440 Hz; each half step multiplies by the twelfth root of two."
    likeness = "is so near that the ear can hardly tell"
    return Truth(within, alike, fact, right, reason=reason, likeness=likeness)


def _key_number(pitch: Pitch, said: KeyNumber, written: str) -> Truth:
    number = pitch.key_number
    equal = number == said.number
    if number != int(number):
        fact = f"{pitch} lies between the keys {int(number // 1)} and {int(number // 1) + 1}"
        alike = abs(number - said.number) * 100 <= _SAME_TO_THE_EAR
        return Truth(False, alike, fact, likeness="is the nearest")
    right = written.replace(str(said.number), str(int(number)))
    reason = "MIDI 1.0 numbers the keys from 0, with middle C, C4, at 60."
    return Truth(equal, equal, f"{pitch} is key {int(number)}", right, reason=reason)


def _pitches(one: Pitch, other: Pitch) -> Truth:
    twins = (respelled(one, name) for name in other_names(one.name))
    twin = next((pitch for pitch in twins if pitch is not None), one)
    return _two_notes(one, other, twin, alike=one.sounds_like(other))


def _names(one: PitchName, other: PitchName) -> Truth:
    twin = next(other_names(one), one)
    return _two_notes(one, other, twin, alike=one.sounds_like(other))


def _two_notes(
    one: Pitch | PitchName, other: Pitch | PitchName, twin: Pitch | PitchName, *, alike: bool
) -> Truth:
    """The truth about two notes; `twin` is the plainest other name of the first."""
    if one == other:
        return Truth(True, True, "one name of one sound")
    if alike:
        fact = f"{one} and {other} sound alike and are two spellings"
        return Truth(False, True, fact, likeness=None, are_names=True)
    return Truth(False, False, f"{one} sounds like {twin}", right_alike=str(twin))


def _name(note: Pitch | PitchName) -> PitchName:
    return note.name if isinstance(note, Pitch) else note
