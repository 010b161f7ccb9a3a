"""The table of what sounds: every note in words and numbers."""

from html import escape

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.views.tones import spoken_list, tones
from stavewright.notation.score import Score
from stavewright.theory import Pitch

_HEADINGS = ("Note", "Cents above C", "MIDI note number", "Hertz", "From the note below")


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """An HTML table; it reflows by itself, so there is no narrow one."""
    rows = []
    below: Pitch | None = None
    for tone in tones(score):
        rows.append(_row(score, tone.pitch, below))
        below = tone.pitch
    heads = "".join(f'<th scope="col">{words}</th>' for words in _HEADINGS)
    head = f"<thead><tr>{heads}</tr></thead>"
    return Drawing(
        f"<table>{head}<tbody>{''.join(rows)}</tbody></table>", 480, 28 * len(rows)
    ), None


def speak(score: Score) -> SpokenText:
    """The notes in one sentence; the table itself is text already."""
    names = spoken_list(tone.pitch.display for tone in tones(score))
    return SpokenText(f"Table of the notes that sound: {names or 'none'}.", ())


def reference(score: Score) -> float:
    """The frequency of A4, in hertz, that the block's tuning asks for; 440 (ISO 16) without one."""
    if score.tuning is None:
        return 440.0
    return float(score.tuning.hertz) * 440.0 / score.tuning.reference.hertz(440.0)


def _row(score: Score, pitch: Pitch, below: Pitch | None) -> str:
    interval = below.interval_to(pitch).name if below else "–"
    number = f"{pitch.key_number:g}"
    hertz = f"{pitch.hertz(reference(score)):.2f}"
    cells = (str(pitch.name.cents), number, hertz, interval)
    body = "".join(f"<td>{escape(cell)}</td>" for cell in cells)
    return f'<tr><th scope="row">{escape(pitch.display)}</th>{body}</tr>'
