"""Scores written as MusicXML 4.0, for notation programs."""

from stavewright.figures.musicxml.document import musicxml_file

__all__ = ["musicxml_file"]
