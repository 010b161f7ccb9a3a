"""Reads MusicXML, versions 1 to 4 (W3C Music Notation Community Group), partwise or timewise."""

from stavewright.importing.musicxml.score import read_musicxml

__all__ = ["read_musicxml"]
