"""The table of what sounds: every note in words and numbers."""

from html import escape

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.spoken import pitch_words
from stavewright.figures.spoken.tones import drum_words, listed
from stavewright.figures.views.labels import no_pitch_words, pitch_text
from stavewright.figures.views.tones import tones
from stavewright.notation.score import Drum, Score
from stavewright.theory import Pitch

_HEADINGS = ("Note", "Cents above C", "MIDI note number", "Hertz", "From the note below")


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """An HTML table; it reflows by itself, so there is no narrow one."""
    rows = []
    below: Pitch | None = None
    for tone in tones(score):
        rows.append(_row(score, tone.pitch, below))
        below = tone.pitch
    rows += [_drum_row(drum) for drum in drums(score)]
    if not rows:
        rows.append(f'<tr><td colspan="{len(_HEADINGS)}">{no_pitch_words(score)}</td></tr>')
    heads = "".join(f'<th scope="col">{words}</th>' for words in _HEADINGS)
    body = f"<thead><tr>{heads}</tr></thead><tbody>{''.join(rows)}</tbody>"
    return Drawing(f"<table>{body}</table>", 480, 28 * (1 + len(rows))), None


def speak(score: Score) -> SpokenText:
    """What sounds, in one sentence; the table itself is text already."""
    found = [pitch_words(tone.pitch) for tone in tones(score)]
    found += [drum_words(drum) for drum in drums(score)]
    if not found:
        return SpokenText(f"Table of what sounds. {no_pitch_words(score)}", ())
    return SpokenText(f"Table of what sounds: {listed(found)}.", ())


def drums(score: Score) -> tuple[Drum, ...]:
    """Every percussion instrument of the score once, by its General MIDI key number."""
    found = {
        head.sound
        for voice in score.voices
        for event in voice.events
        for head in event.heads
        if isinstance(head.sound, Drum)
    }
    return tuple(sorted(found, key=lambda drum: drum.key_number))


def reference(score: Score) -> float:
    """The frequency of A4, in hertz, that the block's tuning asks for; 440 (ISO 16) without one."""
    if score.tuning is None:
        return 440.0
    return float(score.tuning.hertz) * 440.0 / score.tuning.reference.hertz(440.0)


def _row(score: Score, pitch: Pitch, below: Pitch | None) -> str:
    interval = below.interval_to(pitch).name if below else "–"
    number = f"{pitch.key_number:g}"
    hertz = f"{pitch.hertz(reference(score)):.2f}"
    return _cells(number, pitch_text(pitch), str(pitch.name.cents), number, hertz, interval)


def _drum_row(drum: Drum) -> str:
    """An instrument without pitch: its number in the General MIDI percussion key map."""
    return _cells(f"drum-{drum.key_number}", drum_words(drum), "–", str(drum.key_number), "–", "–")


def _cells(key: str, name: str, *cells: str) -> str:
    body = "".join(f"<td>{escape(cell)}</td>" for cell in cells)
    return f'<tr data-key="{key}"><th scope="row">{escape(name)}</th>{body}</tr>'
