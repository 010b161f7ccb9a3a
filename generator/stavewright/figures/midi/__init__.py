"""Performances as Standard MIDI Files."""

from stavewright.figures.midi.write import PARTS, midi_file

__all__ = ["PARTS", "midi_file"]
