"""Scores written as MusicXML 4.0, for notation programs."""

from stavewright.figures.musicxml.document import musicxml_file
from stavewright.figures.musicxml.timed import is_mixed

__all__ = ["is_mixed", "musicxml_file"]
