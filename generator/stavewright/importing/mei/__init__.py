"""Reads MEI 3 to 5 (Music Encoding Initiative), the music of common notation."""

from stavewright.importing.mei.score import read_mei

__all__ = ["read_mei"]
