"""What music theory says: pitches, intervals, keys, scales, chords and numerals."""
