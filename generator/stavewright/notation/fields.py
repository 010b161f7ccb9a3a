"""Reads the fields of a block: a table from each field's word to its reader."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final, TypeVar

from stavewright.notation.clefs import CLEFS
from stavewright.notation.finding import RULE_IDS
from stavewright.notation.lines import Line
from stavewright.notation.near import listed, near
from stavewright.notation.passage import Passage
from stavewright.notation.report import Report
from stavewright.notation.score import Accept, Staff, Swing, Tempo, Tuning, View
from stavewright.notation.show_field import read_show
from stavewright.notation.source import Span
from stavewright.notation.staves_field import read_staves
from stavewright.notation.tuning_field import read_strings, read_tuning
from stavewright.notation.values import UnreadError, read_tempo, read_value
from stavewright.notation.vocabulary import REPEATING_FIELDS, STYLE_NAMES
from stavewright.notation.words_in_line import unknown_clef
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import Key
from stavewright.theory.meter import Meter
from stavewright.theory.pitch import Pitch
from stavewright.theory.scale import Scale

T = TypeVar("T")

_SWING: Final = re.compile(r"(?P<unit>\d+/\d+)\s+(?P<long>\d{1,3}):(?P<short>\d{1,3})")


@dataclass(slots=True)
class Fields:
    """What the fields of a block say; each None or empty where it is absent or unreadable."""

    title: str | None = None
    caption: str | None = None
    style: str | None = None
    rights: str | None = None
    sources: list[str] = field(default_factory=list)
    credits: list[str] = field(default_factory=list)
    key: Key | None = None
    meter: Meter | None = None
    has_meter: bool = False
    """Whether `time:` stands in the block, readable or not."""
    tempo: Tempo | None = None
    swing: Swing | None = None
    pickup: Fraction | None = None
    staves: tuple[Staff, ...] = ()
    has_staves: bool = False
    clef: str | None = None
    tuning: Tuning | None = None
    strings: tuple[Pitch, ...] = ()
    scale: Scale | None = None
    show: tuple[View, ...] = ()
    accepts: list[Accept] = field(default_factory=list)
    transposes: Passage | None = None
    """Read later, when the voices are known."""
    spans: list[tuple[str, Span]] = field(default_factory=list)


def read_fields(lines: list[Line], report: Report) -> Fields:
    """Read all fields of a block."""
    fields = Fields()
    seen: set[str] = set()
    for line in lines:
        if not line.value.text.strip():
            report.add(line.word_span, f"The field {line.word!r} says nothing")
            continue
        if line.word in seen and line.word not in REPEATING_FIELDS:
            report.add(line.word_span, f"The field {line.word!r} is said once, and here again")
            continue
        seen.add(line.word)
        fields.spans.append((line.word, line.value.whole))
        READERS[line.word](line.value, fields, report)
    return fields


def _text(name: str) -> Callable[[Passage, Fields, Report], None]:
    def read(passage: Passage, fields: Fields, _: Report) -> None:
        setattr(fields, name, passage.words)

    return read


def _source(passage: Passage, fields: Fields, _: Report) -> None:
    fields.sources.append(passage.words)


def _credit(passage: Passage, fields: Fields, _: Report) -> None:
    fields.credits.append(passage.words)


def _theory(
    passage: Passage, report: Report, parse: Callable[[str], T], rule: str = "syntax"
) -> T | None:
    try:
        return parse(passage.text)
    except TheoryError as error:
        report.theory(error, passage, 0, len(passage.text), rule=rule)
        return None


def _unread(passage: Passage, report: Report, parse: Callable[[str], T]) -> T | None:
    try:
        return parse(passage.text)
    except UnreadError as error:
        report.add(passage.whole, error.message, error.suggestion)
        return None


def _key(passage: Passage, fields: Fields, report: Report) -> None:
    fields.key = _theory(passage, report, Key.parse, "key-unknown")


def _time(passage: Passage, fields: Fields, report: Report) -> None:
    fields.has_meter = True
    fields.meter = _theory(passage, report, Meter.parse)


def _scale(passage: Passage, fields: Fields, report: Report) -> None:
    fields.scale = _theory(passage, report, Scale.parse)


def _tempo(passage: Passage, fields: Fields, report: Report) -> None:
    fields.tempo = _unread(passage, report, read_tempo)


def _pickup(passage: Passage, fields: Fields, report: Report) -> None:
    if passage.text.isdecimal():
        # A bare 1 may be a beat or a whole note, so nothing is offered in its place.
        message = "A pickup is as long as a part of a whole note: 1/4 is one quarter"
        report.add(passage.whole, message)
        return
    fields.pickup = _unread(passage, report, read_value)


def _swing(passage: Passage, fields: Fields, report: Report) -> None:
    fields.swing = _unread(passage, report, read_swing)


def read_swing(text: str) -> Swing:
    """Read `1/8 2:1`; raises UnreadError."""
    match = _SWING.fullmatch(text)
    message = "Swing is a note value and how its pairs divide, long to short, such as 1/8 2:1"
    if match is None:
        bare = re.fullmatch(r"(?:(?P<unit>\d+/\d+)\s*)?(?P<ratio>\d{1,3}\s*:\s*\d{1,3})", text)
        wanted = f"{bare['unit'] or '1/8'} {''.join(bare['ratio'].split())}" if bare else None
        raise UnreadError(message, wanted if wanted and _SWING.fullmatch(wanted) else None)
    long, short = Fraction(match["long"]), Fraction(match["short"])
    if not 0 < short <= long:
        wanted = f"{match['unit']} {match['short']}:{match['long']}" if long else None
        raise UnreadError("Swing plays the first of a pair longer than the second", wanted)
    return Swing(read_value(match["unit"]), long, short)


def _staves(passage: Passage, fields: Fields, report: Report) -> None:
    fields.has_staves = True
    fields.staves = read_staves(passage, report)


def _clef(passage: Passage, fields: Fields, report: Report) -> None:
    if passage.text in CLEFS:
        fields.clef = passage.text
    else:
        report.add(passage.whole, *unknown_clef(passage.text))


def _transposes(passage: Passage, fields: Fields, _: Report) -> None:
    fields.transposes = passage


def _tuning(passage: Passage, fields: Fields, report: Report) -> None:
    fields.tuning = _unread(passage, report, read_tuning)


def _strings(passage: Passage, fields: Fields, report: Report) -> None:
    fields.strings = read_strings(passage, report)


def _style(passage: Passage, fields: Fields, report: Report) -> None:
    if passage.words in STYLE_NAMES:
        fields.style = passage.words
    else:
        message = f"No style is called {passage.words[:40]!r}; there are {listed(STYLE_NAMES)}"
        report.add(passage.whole, message, near(passage.words, STYLE_NAMES))


def _show(passage: Passage, fields: Fields, report: Report) -> None:
    fields.show = read_show(passage, report)


def _accept(passage: Passage, fields: Fields, report: Report) -> None:
    text = passage.text.replace("\n", " ")
    rule, because, _ = text.partition(" because ")
    rule = rule.strip()
    reason = " ".join(passage.written[len(text.partition(" because ")[0]) + 9 :].split())
    several = re.split(r",\s*|\s+and\s+|\s+", rule)
    if because and len(several) > 1 and all(each in RULE_IDS for each in several):
        message = "One line accepts one rule; write a line for each, with its own reason"
        report.add(passage.span(0, len(rule)), message)
    elif rule not in RULE_IDS:
        word = rule.split()[0] if rule else ""
        place = passage.span(0, len(rule) if because else len(word))
        message = f"No rule is called {rule[:40]!r}"
        if not because and word in RULE_IDS:
            message = "A rule is accepted for a reason: accept: RULE because REASON"
            report.add(passage.whole, message)
            return
        report.add(place, message, near(rule if because else word, RULE_IDS))
    elif rule == "syntax":
        # An unread event is silent in the figure: no reason makes that true to the reader.
        report.add(passage.whole, "What cannot be read cannot be accepted; put that line right")
    elif not because or not reason:
        report.add(passage.whole, "A rule is accepted for a reason: accept: RULE because REASON")
    else:
        fields.accepts.append(Accept(rule, reason, passage.span(0, len(rule))))


READERS: Final[dict[str, Callable[[Passage, Fields, Report], None]]] = {
    "title": _text("title"),
    "key": _key,
    "time": _time,
    "tempo": _tempo,
    "swing": _swing,
    "pickup": _pickup,
    "staves": _staves,
    "clef": _clef,
    "scale": _scale,
    "tuning": _tuning,
    "strings": _strings,
    "transposes": _transposes,
    "style": _style,
    "show": _show,
    "caption": _text("caption"),
    "source": _source,
    "credit": _credit,
    "rights": _text("rights"),
    "accept": _accept,
}
"""One reader a field; it notes what it cannot read."""
