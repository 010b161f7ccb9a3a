"""The author's lines, looked up where findings need them, so that no text is kept in memory."""

from collections.abc import Iterable
from pathlib import Path

from stavewright.site.content import Listing, Source
from stavewright.site.report import LineOf, lines_of
from stavewright.site.settings import SETTINGS_FILE


def lines_on_disk(listing: Listing) -> LineOf:
    """Lines of the files of a content folder, read when one is asked for.

    One file is held at a time, since findings come file by file.
    """
    places: dict[str, Path] = {}
    held: dict[str, LineOf] = {}

    def line_of(file: str, line: int) -> str | None:
        if not places:
            places.update(_places(listing))
        if file not in held:
            held.clear()
            held[file] = lines_of(_texts([file], places))
        return held[file](file, line)

    return line_of


def lines_now(listing: Listing, files: Iterable[str]) -> LineOf:
    """Lines of these files, as findings name them, as they are at this moment."""
    return lines_of(_texts(files, _places(listing)))


def _places(listing: Listing) -> dict[str, Path]:
    places = {file.shown: file.file for file in listing.articles}
    if listing.settings is not None:
        places[listing.settings.file] = listing.folder / SETTINGS_FILE
    return places


def _texts(files: Iterable[str], places: dict[str, Path]) -> dict[str, str]:
    texts = {}
    for file in files:
        try:
            texts[file] = Source(file, file, places[file].read_bytes()).text
        except (KeyError, OSError):
            continue  # A finding about a folder, or the file has gone since.
    return texts
