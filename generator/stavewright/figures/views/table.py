"""The table of chords or of a scale: each chord tone by tone, each degree with what stands on it.

Chord symbols come first, numerals where there are none; else the scale, or that of the key.
"""

from html import escape

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.views.labels import no_pitch_words
from stavewright.figures.views.table_chords import chord_table
from stavewright.figures.views.table_rows import Table
from stavewright.figures.views.table_scale import scale_table
from stavewright.notation.score import Score

_ROW_HEIGHT = 28


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """An HTML table; it reflows by itself, so there is no narrow one."""
    table = _table(score)
    if table is None:
        words = _nothing_words(score)
        return Drawing(f"<table><tbody><tr><td>{words}</td></tr></tbody></table>", 480, 56), None
    heads = "".join(f'<th scope="col">{escape(words)}</th>' for words in table.headings)
    body = "".join(
        f'<tr{_lit(row.lit, row.ids)}><th scope="row">{escape(row.cells[0])}</th>'
        + "".join(f"<td>{escape(cell)}</td>" for cell in row.cells[1:])
        + "</tr>"
        for row in table.rows
    )
    caption = f"<caption>{escape(table.caption)}</caption>"
    markup = f"<table>{caption}<thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table>"
    return Drawing(markup, 480, _ROW_HEIGHT * (2 + len(table.rows))), None


def speak(score: Score) -> SpokenText:
    """What the table is of, and each of its rows as a sentence."""
    table = _table(score)
    if table is None:
        return SpokenText(f"Table. {_nothing_words(score)}", ())
    return SpokenText(f"Table of {table.spoken}.", tuple(row.spoken for row in table.rows))


def _table(score: Score) -> Table | None:
    return chord_table(score) or scale_table(score)


def _nothing_words(score: Score) -> str:
    if any(event.heads for voice in score.voices for event in voice.events):
        return "No chord, scale or key is named here."
    return no_pitch_words(score)


def _lit(kind: str, ids: tuple[str, ...]) -> str:
    return f' data-{kind}="{escape(" ".join(ids))}"' if ids else ""
