"""The picture that a link to an article shows where links are shared: 1200 by 630 pixels.

Its title, its first figure and the site's name, in the theme's colours. A pure function of these:
the same bytes on every machine, as long as our faces have every letter of the words; words in other
scripts are set in whatever fonts the machine has.
"""

import hashlib
import re
from html import escape
from typing import Final

from stavewright.figures.figure import Drawing, Figure
from stavewright.figures.fonts import SERIF, covered
from stavewright.figures.signs import FAMILY
from stavewright.figures.signs.outlines import CHARACTERS
from stavewright.figures.stills.compose import inset
from stavewright.figures.stills.frame import Place
from stavewright.figures.stills.raster import png
from stavewright.figures.stills.views import as_picture
from stavewright.site.addresses import ASSETS
from stavewright.site.social_style import HEIGHT, WIDTH, SocialLook, SocialPicture, SocialStyle

_HASH_LENGTH: Final = 12
_MARGIN: Final = 72.0
_FOOT: Final = 96.0
"""From the lower edge to the top of the line over the site's name."""
_TITLE_SIZES: Final = (60.0, 52.0, 44.0, 38.0)
_TITLE_LINES: Final = 2
_LARGEST: Final = 3.4
"""How much a figure is enlarged at most: two notes need not fill a wall."""

_NARROW: Final = frozenset("iljtfrI.,:;'’‘!()[]|/-  ")
_BROAD: Final = frozenset("mwMW—@%…")
_WIDTHS: Final = {"narrow": 0.33, "plain": 0.5, "capital": 0.7, "broad": 0.9, "far": 1.0}
"""Of letters, in ems: a little more than in our serif face, so that lines never overflow."""
_FAR: Final = "\u2e80"
"""Where the scripts begin whose signs are an em wide."""


def picture_file(title: str, figure: Figure, style: SocialStyle) -> tuple[SocialPicture, bytes]:
    """The picture of an article with this first figure, named after what it holds; and its PNG."""
    layouts = tuple(each for each in (figure.wide, figure.narrow) if each is not None)
    data = social_picture(title, style.site, layouts, style.look)
    name = hashlib.sha256(data).hexdigest()[:_HASH_LENGTH]
    return SocialPicture(f"{ASSETS}social/{name}.png", _alt(title, figure.spoken.line)), data


def _alt(title: str, line: str) -> str:
    stop = "" if title.endswith((".", "?", "!", "…")) else "."
    return f"{title}{stop} {line}"


def social_picture(title: str, site: str, drawings: tuple[Drawing, ...], look: SocialLook) -> bytes:
    """The picture as PNG; `drawings` are layouts of one figure, of which the largest is shown."""
    size, lines = _title(title)
    top = _MARGIN + len(lines) * size * 1.16
    parts = [
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="{look.paper}"/>',
        f'<rect x="{_MARGIN:g}" y="{_MARGIN - 30:g}" width="84" height="5" fill="{look.accent}"/>',
    ]
    for place, line in enumerate(lines):
        parts.append(_text(line, _MARGIN + (place + 0.86) * size * 1.16, size))
    name = _shortened(site, 34, WIDTH - 2 * _MARGIN)
    parts.append(
        f'<line x1="{_MARGIN:g}" x2="{WIDTH - _MARGIN:g}" y1="{HEIGHT - _FOOT:g}" '
        f'y2="{HEIGHT - _FOOT:g}" stroke="{look.soft}" stroke-opacity="0.4" stroke-width="1.5"/>'
        + _text(name, HEIGHT - _FOOT + 52, 34, f' font-style="italic" fill="{look.soft}"')
    )
    if drawings:
        parts.append(_figure(drawings, top + 14, HEIGHT - _FOOT - 18))
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{HEIGHT}" '
        f'color="{look.ink}" fill="{look.ink}" font-family="{SERIF}, {FAMILY}">'
        f"{''.join(parts)}</svg>"
    )
    return png(svg, system_fonts=not (set(title + site) <= covered() | CHARACTERS))


def _figure(drawings: tuple[Drawing, ...], top: float, bottom: float) -> str:
    """The figure that can be shown largest, in the middle of the room it has."""
    room_wide, room_high = WIDTH - 2 * _MARGIN, bottom - top
    pictures = [as_picture(drawing) for drawing in drawings]

    def scale(drawing: Drawing) -> float:
        return min(_LARGEST, room_wide / drawing.width, room_high / drawing.height)

    best = max(pictures, key=scale)
    width, height = best.width * scale(best), best.height * scale(best)
    place = Place((WIDTH - width) / 2, top + (room_high - height) / 2, width, height)
    return inset(best, place)


def _title(title: str) -> tuple[float, list[str]]:
    """The size at which the title fits its lines, and these; cut short if nothing helps."""
    room = WIDTH - 2 * _MARGIN
    words = " ".join(title.split())
    for size in _TITLE_SIZES:
        lines = _broken(words, size, room)
        if len(lines) <= _TITLE_LINES and all(_width(line, size) <= room for line in lines):
            return size, lines
    size = _TITLE_SIZES[-1]
    lines = _broken(words, size, room)
    last = " ".join(lines[_TITLE_LINES - 1 :])
    kept = [*lines[: _TITLE_LINES - 1], last]
    return size, [_shortened(line, size, room) for line in kept if line]


def _broken(words: str, size: float, room: float) -> list[str]:
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and _width(longer, size) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _shortened(line: str, size: float, room: float) -> str:
    if _width(line, size) <= room:
        return line
    while line and _width(line + "…", size) > room:
        line = line[:-1]
    return line.rstrip() + "…"


def _width(text: str, size: float) -> float:
    return size * sum(_WIDTHS[_kind(letter)] for letter in text)


def _kind(letter: str) -> str:
    if letter >= _FAR:
        return "far"
    if letter in _NARROW:
        return "narrow"
    if letter in _BROAD:
        return "broad"
    return "capital" if letter.isupper() else "plain"


def _text(words: str, y: float, size: float, more: str = "") -> str:
    # What XML cannot hold has no shape either.
    plain = re.sub(r"[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", "", words)
    return f'<text x="{_MARGIN:g}" y="{y:g}" font-size="{size:g}"{more}>{escape(plain)}</text>'
