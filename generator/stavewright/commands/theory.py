"""`stavewright theory`: work an answer out before writing it.

The room that works the answers out is imported in each command, as everything is that takes time.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from fractions import Fraction
from typing import IO, TYPE_CHECKING, Any

import click

from stavewright.commands.options import COULD_NOT_RUN, Command, InOrder, format_option

if TYPE_CHECKING:
    from stavewright.articles.worked.answer import Answer
    from stavewright.theory.chord import Chord
    from stavewright.theory.errors import TheoryError
    from stavewright.theory.key import Key


class UnreadError(click.ClickException):
    """Words that have no meaning in theory, shown with a marker under the place."""

    exit_code = COULD_NOT_RUN

    def __init__(self, error: "TheoryError") -> None:
        super().__init__(error.message)
        self.error = error

    def show(self, file: IO[Any] | None = None) -> None:
        """Print the message, the text with its marker, and what would be understood."""
        error = self.error
        click.echo(f"stavewright: {error.message}.", file, err=True)
        if error.text.strip():
            marker = " " * error.start + "^" * max(1, error.end - error.start)
            click.echo(f"    {error.text}\n    {marker}", file, err=True)
        if error.repaired is not None:
            click.echo(f"  Try: {error.repaired}", file, err=True)


@contextmanager
def _readable() -> Iterator[None]:
    from stavewright.theory.errors import TheoryError

    try:
        yield
    except TheoryError as error:
        raise UnreadError(error) from None


def _say(form: str, work_out: "Callable[[], Answer]") -> None:
    from stavewright.articles.worked.printed import answer_json, answer_text

    with _readable():
        answer = work_out()
    click.echo(answer_json(answer) if form == "json" else answer_text(answer))


def _text(words: tuple[str, ...]) -> str:
    """Join the words as one line, whatever spaces and line ends they hold."""
    return " ".join(" ".join(words).split())


def _words(metavar: str) -> Callable[[Command], Command]:
    """Take any number of words, so that a question needs no quotes where the shell allows it."""
    return click.argument("words", nargs=-1, required=True, metavar=metavar)


def _key_option(command: Command) -> Command:
    return click.option("--key", metavar="KEY", help='The key it stands in, such as "A minor".')(
        command
    )


def _key(text: str | None) -> "Key | None":
    from stavewright.theory.key import Key

    with _readable():
        return None if text is None else Key.parse(text)


def _chord(text: str | None) -> "Chord | None":
    from stavewright.theory.chord import Chord

    with _readable():
        return None if text is None else Chord.parse(text)


# A word may begin with a minus, as the descending interval -M2 does.
_MINUS_MAY_LEAD = {"ignore_unknown_options": True}


@click.group(cls=InOrder)
def theory() -> None:
    """Work an answer out before you write it.

    Each answer ends with a claim and a music block that are true and ready to paste.

    Put in quotes what the shell would take for itself: parentheses, and a # or ' at a word's start.

    \b
    Examples:
      stavewright theory key D# major
      stavewright theory chord F#m7b5/A
      stavewright theory name C4 E4 G#4 B4 --key "A minor"
      stavewright theory beat the uh of one in 4/4
    """


@theory.command()
@_words("KEY")
@format_option
def key(words: tuple[str, ...], form: str) -> None:
    """A key: signature, notes, chords, relations.

    Theoretical keys are spelled like any other, with the key that is printed in their place. Given
    notes, it looks for the key they belong to.

    \b
    Examples:
      stavewright theory key D# major
      stavewright theory key E dorian
      stavewright theory key G A B C D E F#
    """
    from stavewright.articles.worked.key import key_answer

    _say(form, lambda: key_answer(_text(words)))


@theory.command()
@_words("SCALE")
@format_option
def scale(words: tuple[str, ...], form: str) -> None:
    """A scale: notes, degrees, steps, other names.

    Any scale may be given by its steps in cents.

    \b
    Examples:
      stavewright theory scale D dorian
      stavewright theory scale A4 melodic minor
      stavewright theory scale C4 steps 200 150 150 200 200 150 150
    """
    from stavewright.articles.worked.scale import scale_answer

    _say(form, lambda: scale_answer(_text(words)))


@theory.command()
@_words("SYMBOL")
@_key_option
@format_option
def chord(words: tuple[str, ...], key: str | None, form: str) -> None:
    """A chord symbol: tones, other spellings, its place in a key.

    \b
    Examples:
      stavewright theory chord F#m7b5/A
      stavewright theory chord Am7 in C major
      stavewright theory chord "(D)/(C7)"
    """
    from stavewright.articles.worked.chord import chord_answer

    _say(form, lambda: chord_answer(_text(words), _key(key)))


@theory.command(context_settings=_MINUS_MAY_LEAD)
@_words("NOTES|NAME")
@click.option("--from", "start", metavar="NOTE", help="Count a named interval from this note.")
@format_option
def interval(words: tuple[str, ...], start: str | None, form: str) -> None:
    """An interval, between two notes or by its name.

    Without octaves the second note is the higher.

    \b
    Examples:
      stavewright theory interval F4 D#5
      stavewright theory interval augmented sixth
      stavewright theory interval m6 --from Eb4
    """
    from stavewright.articles.worked.interval import interval_answer, read_note

    with _readable():
        note = None if start is None else read_note(start)
    _say(form, lambda: interval_answer(_text(words), note))


@theory.command()
@_words("NUMERAL")
@_key_option
@format_option
def numeral(words: tuple[str, ...], key: str | None, form: str) -> None:
    """A Roman numeral in a key: the chord it means.

    \b
    Examples:
      stavewright theory numeral V65/V in A minor
      stavewright theory numeral viio7 --key "C minor"
      stavewright theory numeral "#ivo7 in F major"
    """
    from stavewright.articles.worked.numeral import numeral_answer

    _say(form, lambda: numeral_answer(_text(words), _key(key)))


@theory.command()
@_words("PITCHES")
@_key_option
@click.option("--before", metavar="SYMBOL", help="The chord that leads here.")
@click.option("--after", metavar="SYMBOL", help="The chord that follows.")
@format_option
def name(
    words: tuple[str, ...], key: str | None, before: str | None, after: str | None, form: str
) -> None:
    """Name notes that sound together, with the reasons.

    The likeliest name comes first. What the notes leave open, the key and the chords on either side
    may settle.

    \b
    Examples:
      stavewright theory name E4 G4 Bb4 D5
      stavewright theory name C4 E4 G#4 B4 --key "A minor"
      stavewright theory name C4 E4 G4 A4 --after D7
    """
    from stavewright.articles.worked.name import name_answer

    _say(
        form,
        lambda: name_answer(_text(words), _key(key), _chord(before), _chord(after)),
    )


@theory.command()
@_words("PLACE")
@click.option("--tempo", metavar="TEMPO", help='Gives times as well: "1/4 at 96".')
@format_option
def beat(words: tuple[str, ...], tempo: str | None, form: str) -> None:
    """A place in the bar, from its name to its position, and back.

    Positions are parts of a whole note from the bar line. Without a metre it is 4/4.

    \b
    Examples:
      stavewright theory beat the uh of one in 4/4
      stavewright theory beat 3/16 in 4/4
      stavewright theory beat the li of two in 6/8 --tempo "3/8 at 60"
    """
    from stavewright.articles.worked.beat import beat_answer

    with _readable():
        whole_note_ms = None if tempo is None else _whole_note_ms(tempo)
    _say(form, lambda: beat_answer(_text(words), whole_note_ms))


def _whole_note_ms(text: str) -> Fraction:
    from stavewright.notation import values
    from stavewright.theory.errors import TheoryError
    from stavewright.theory.tempo_time import whole_note_ms

    try:
        tempo = values.read_tempo(text)
    except values.UnreadError as error:
        raise TheoryError(error.message, text, suggestion=error.suggestion) from None
    return whole_note_ms(tempo.unit, tempo.per_minute)


@theory.command()
@_words("NOTE")
@click.option(
    "--a4",
    type=click.FloatRange(200, 1000),
    default=440.0,
    show_default=True,
    help="The frequency of A4 in Hz.",
)
@format_option
def note(words: tuple[str, ...], a4: float, form: str) -> None:
    """A note: frequency, MIDI key, other names.

    \b
    Examples:
      stavewright theory note C#4
      stavewright theory note A4 --a4 442
      stavewright theory note "E(-50)4"
    """
    from stavewright.articles.worked.note import note_answer

    _say(form, lambda: note_answer(_text(words), a4))
