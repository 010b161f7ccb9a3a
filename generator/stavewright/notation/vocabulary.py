"""The words of the block language: the parser's own tables, which the handbook prints."""

from dataclasses import dataclass
from typing import Final

from stavewright.notation.score import EventMark, HeadMark


@dataclass(frozen=True, slots=True)
class Word:
    """A word of the language."""

    name: str
    meaning: str
    """One line."""
    example: str
    """As it would be written, in whole."""
    repeats: bool = False
    """Whether a field may be said more than once."""


FIELDS: Final = (
    Word("title", "what the figure shows, printed above it", "title: The cadence, with its label"),
    Word("key", "the key signature, and the key of the numerals", "key: D minor"),
    Word("time", "the meter: a figure, a sum, `common` or `cut`", "time: 2+2+3/8"),
    Word("tempo", "the note value that is counted, and how many a minute", "tempo: 1/4 at 96"),
    Word("swing", "each pair of a value is played long to short", "swing: 1/8 2:1"),
    Word("pickup", "the length of a first, short bar", "pickup: 1/4"),
    Word("staves", "each staff's clef, with its voices", "staves: treble(soprano alto) bass(left)"),
    Word("clef", "the clef of a block without `staves`", "clef: treble-8"),
    Word("scale", "a scale that writes itself", "scale: D4 dorian"),
    Word("tuning", "the reference pitch and the temperament", "tuning: A4 442, 24 equal"),
    Word("strings", "the open strings of a fretboard", "strings: E2 A2 D3 G3 B3 E4"),
    Word("transposes", "how far from its sound a voice is printed", "transposes: clarinet M2"),
    Word("style", "the style whose conventions are to be checked", "style: chorale"),
    Word("show", "the views to draw, in order", "show: staff keyboard fretboard(5-9)"),
    Word("caption", "a sentence below the figure", "caption: The seventh falls."),
    Word("source", "where the music is from", "source: traditional", repeats=True),
    Word("credit", "who is to be credited", "credit: arranged for the town band", repeats=True),
    Word("rights", "who may use it, and how", "rights: public domain"),
    Word(
        "accept",
        "silences one rule in this block, for a reason that the reader is shown",
        "accept: key-theoretical because the article is about this key",
        repeats=True,
    ),
)

LINES: Final = (
    Word("notes", "the one voice of a block without `staves`", "notes: 1/4 C4 D4 E4"),
    Word("drums", "a stream of percussion, by instrument", "drums: 1/4 kick snare kick snare"),
    Word("chords", "chord symbols", "chords: C Am7 | Dm7 G7"),
    Word("numerals", "Roman numerals with figures", "numerals: I vi7 | ii7 V7"),
    Word("words", "the syllables of a voice", "words(alto 2): Sum- mer is gone"),
    Word("bass-figures", "figured bass over the lowest voice", "bass-figures: 6&4 5&3"),
)

EVENT_WORDS: Final = (
    Word("rest", "a silence; alone in its bar it fills the bar", "1/4 C4 rest"),
    Word("space", "a silence that is not printed", "1/4 C4 space"),
    Word("same", "the bar before again", "1/4 C4 D4 | same | same(3)"),
    Word("slur", "a slur over what it holds", "slur(C5 D5 E5)(F5 G5)"),
    Word("grace", "notes without written time, before the next", "grace(1/16 D5 E5) 1/4 C5"),
    Word("key", "a change of key", "key(G major)"),
    Word("time", "a change of meter", "time(3/4)"),
    Word("tempo", "a change of tempo", "tempo(1/4 at 96)"),
    Word("clef", "a change of clef on this staff", "clef(bass)"),
    Word(
        "ending", "the passes of a repeat that play what follows", "| ending(1) C4 :| ending(2) D4"
    ),
    Word("dynamic", "how loud, from the next note on", "dynamic(mf) 1/4 C4"),
)

VIEWS: Final = (
    Word("staff", "notation", "show: staff"),
    Word("keyboard", "the keys of a piano", "show: keyboard"),
    Word("grid", "what is written against when it sounds, on an axis of time", "show: grid"),
    Word("circle", "the circle of fifths", "show: circle"),
    Word("clock", "the twelve pitch classes", "show: clock"),
    Word("fretboard", "strings and frets", "show: fretboard(5-9)"),
    Word("names", "a table of what sounds", "show: names"),
    Word("ruler", "pitches in cents, against equal steps", "show: ruler"),
    Word("table", "chords or a scale, note by note", "show: table"),
)

STYLES: Final = (
    Word(
        "chorale",
        "four-part writing for voices, as old hymn settings have it and harmony courses teach it",
        "style: chorale",
    ),
    Word(
        "counterpoint",
        "two or more lines of equal rights: how any two of them move, and each alone",
        "style: counterpoint",
    ),
    Word("blues", "blue notes are at home; no advice on part-writing", "style: blues"),
    Word("jazz", "the same, for tunes over changes", "style: jazz"),
)
"""What a block may say that it is written in. `checking.styles` says what each asks."""

DYNAMICS: Final = (
    *("ppp", "pp", "p", "mp", "mf", "f", "ff", "fff"),
    *("fp", "sf", "sfz", "rf", "rfz", "fz", "n"),
)
MARKS: Final = tuple(mark.value for mark in (*EventMark, *HeadMark))
"""What may follow an event after a full stop."""

SUFFIXES: Final = (
    Word("_", "tied to the same pitch in the next event", "1/4 C4_ C4"),
    Word("*", "emphasized: a mark for the eye", "C5*"),
    Word('"…"', "a label, on a symbol as well as on a note", 'C#5"leading tone"'),
    Word("@", "sounds early (-) or late (+); prints as written", "1/4 C5@-1/32 D5@+12ms"),
    Word(".fermata", "held", "C5.fermata"),
    Word(".accent", "an accent", "C5.accent"),
    Word(".staccato", "short", "C5.staccato"),
    Word(".tenuto", "held to its full value", "C5.tenuto"),
    Word(".trill", "a trill", "C5.trill"),
    Word(".turn", "a turn", "C5.turn"),
    Word(".mordent", "a mordent", "C5.mordent"),
    Word(".arpeggio", "a chord broken upwards", "(C4&E4&G4).arpeggio"),
    Word(".ghost", "hardly played: the head in parentheses", "D5.ghost"),
    Word(".courtesy", "a reminding accidental", "F5.courtesy"),
)
"""What may follow a note without a space, or parentheses for all that they hold."""

OTHER_LINE_WORDS: Final = {
    "meter": "time",
    "metre": "time",
    "bpm": "tempo",
    "upbeat": "pickup",
    "anacrusis": "pickup",
    "lyrics": "words",
    "text": "words",
    "harmony": "chords",
    "figured-bass": "bass-figures",
    "figures": "bass-figures",
    "percussion": "drums",
    "composer": "credit",
    "author": "credit",
    "arranger": "credit",
    "copyright": "rights",
    "licence": "rights",
    "license": "rights",
    "view": "show",
    "views": "show",
}
"""Words that musicians use for a field or a line, and the one that it has here."""

FIELD_NAMES: Final = frozenset(word.name for word in FIELDS)
REPEATING_FIELDS: Final = frozenset(word.name for word in FIELDS if word.repeats)
LINE_NAMES: Final = frozenset(word.name for word in LINES)
EVENT_NAMES: Final = frozenset(word.name for word in EVENT_WORDS)
VIEW_NAMES: Final = tuple(word.name for word in VIEWS)
STYLE_NAMES: Final = tuple(word.name for word in STYLES)
JUMPS: Final = frozenset(
    (
        "segno",
        "coda",
        "fine",
        "dc",
        "ds",
        "d.c.",
        "d.s.",
        "dacapo",
        "dalsegno",
        "da-capo",
        "dal-segno",
        "to-coda",
        "tocoda",
    )
)
"""Words for jumps, which are out of scope: the parser says so by name."""
