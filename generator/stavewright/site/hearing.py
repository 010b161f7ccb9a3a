"""What a figure offers beyond its pictures: its sound, and files to take home.

The files lie below the assets, named after what they hold: equal figures share them, and a browser
may keep them for ever.
"""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Final

from markupsafe import Markup

from stavewright.figures.figure import Figure
from stavewright.figures.midi import midi_file
from stavewright.figures.sound import Performance, encode, perform
from stavewright.figures.staff import StaffFigure, documents
from stavewright.notation.score import Score
from stavewright.site.addresses import ASSETS
from stavewright.site.making.made import KeptFile
from stavewright.site.page_figure import DownloadView, SoundView

_HASH_LENGTH: Final = 12


@dataclass(frozen=True, slots=True)
class _Kept:
    """A file on offer."""

    name: str
    about: str
    filename: str
    file: KeptFile


@dataclass(frozen=True, slots=True)
class Heard:
    """A figure's sound and its files; nothing of either where nothing can be had."""

    sound: SoundView | None = None
    kept: tuple[_Kept, ...] = field(default=())

    @property
    def files(self) -> tuple[KeptFile, ...]:
        """What is to be written."""
        return tuple(each.file for each in self.kept)

    def downloads(self, href: Callable[[str], str]) -> tuple[DownloadView, ...]:
        """The files as links, `href` giving the address of a path in the site."""
        return tuple(
            DownloadView(each.name, each.about, href(each.file.path), each.filename)
            for each in self.kept
        )


def hear(score: Score, address: str, number: int, figures: Sequence[Figure] = ()) -> Heard:
    """Everything for the block that is number `number` of the page at `address`.

    `figures` are its figures, if they are drawn: what they were engraved from serves here too.
    """
    performance = perform(score)
    stem = f"{address.strip('/').rsplit('/', 1)[-1].removesuffix('.html') or 'figure'}-{number}"
    kept = []
    if performance.notes:
        data = midi_file(performance, score.title or "")
        kept.append(_keep("MIDI", "for a sequencer or a keyboard", data, f"{stem}.mid"))
    drawn = next((each for each in figures if isinstance(each, StaffFigure)), None)
    written = documents(score, drawn)
    if written is not None:
        mei, musicxml = written
        name = f"{stem}.musicxml"
        if musicxml is not None:
            kept.append(_keep("MusicXML", "for a notation program", musicxml, name))
        kept.append(_keep("MEI", "for scholars and engravers", mei.encode(), f"{stem}.mei"))
    return Heard(_sound(performance), tuple(kept))


def _sound(performance: Performance) -> SoundView | None:
    if not performance.notes:
        return None
    data = Markup(encode(performance))  # Has no `<`; see there.
    heard = sorted({note.voice for note in performance.notes})
    voices = tuple((place, performance.voices[place]) for place in heard)
    return SoundView(data, voices, bool(performance.clicks))


def _keep(name: str, about: str, data: bytes, filename: str) -> _Kept:
    digest = hashlib.sha256(data).hexdigest()[:_HASH_LENGTH]
    ending = filename.rsplit(".", 1)[-1]
    return _Kept(name, about, filename, KeptFile(f"{ASSETS}music/{digest}.{ending}", data))
