"""Reads files of small scores with the block that each should become.

    ### a title, unique in its file
    bars: 1-2
    staff: left
    <measure number="1">…</measure>
    -->
    notes: 1/4 C4 …
    // not carried over: 1 hairpin, in bar 1

`bars` and `staff` are optional. A MusicXML case is the inside of its parts: `<measure>`s alone make
one part, and `part: NAME` before them names it; several parts are written out. So that a case can
be read, `{C#4 quarter. | <extra/>}` stands for a note, `{rest half}` for a rest, with `3:2` after
the type for its ratio and 24 divisions in a quarter. A MEI case is the inside of `score`.
"""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from stavewright.importing import CannotImportError, import_excerpt
from stavewright.importing.musicxml.directions import VALUES

DATA = Path(__file__).parent / "data"
REWRITE = bool(os.environ.get("STAVEWRIGHT_REWRITE"))
_NOTE = re.compile(
    r"\{(?P<what>\S+) (?P<type>\w+)(?P<dots>\.*)(?: (?P<ratio>\d+:\d+))?(?: \|(?P<extra>[^{}]*))?\}"
)
_PITCH = re.compile(r"(?P<step>[A-G])(?P<signs>#*|b*)(?P<octave>\d)")
_DIVISIONS = 24
_FIELD = re.compile(r"(?P<word>bars|staff|part): (?P<value>.*)\n")
_FIRST = ("grace", "cue", "chord")


@dataclass(frozen=True)
class Case:
    title: str
    body: str
    expected: str
    line: int

    def fields(self) -> tuple[dict[str, str], str]:
        """The fields before the music, and the music."""
        found: dict[str, str] = {}
        body = self.body
        while match := _FIELD.match(body):
            found[match["word"]] = match["value"]
            body = body[match.end() :]
        return found, body


def read(name: str) -> list[Case]:
    text = (DATA / name).read_text("utf-8")
    found: list[Case] = []
    line = text.split("### ")[0].count("\n") + 1
    for part in text.split("### ")[1:]:
        title, _, rest = part.partition("\n")
        body, _, expected = rest.partition("-->\n")
        found.append(Case(title, body, expected.strip("\n"), line))
        line += part.count("\n")
    assert len({case.title for case in found}) == len(found) > 0
    return found


def rewrite(name: str, results: dict[str, str]) -> None:
    path = DATA / name
    head = path.read_text("utf-8").split("### ")[0]
    parts = [f"### {c.title}\n{c.body}-->\n{results[c.title]}\n" for c in read(name)]
    path.write_text(head + "\n".join(parts), encoding="utf-8")


def result(case: Case, name: str) -> str:
    """The block, and what is left out as comments; or what is wrong with the file."""
    fields, body = case.fields()
    data = mei(body) if name.startswith("mei") else musicxml(body, fields.get("part", ""))
    staves = fields["staff"].split(", ") if "staff" in fields else ()
    try:
        found = import_excerpt(data.encode(), fields.get("bars"), staves)
    except CannotImportError as error:
        return f"cannot: {error}"
    return "\n".join([found.text, *(f"// not carried over: {line}" for line in found.left)])


def musicxml(body: str, name: str) -> str:
    body = _NOTE.sub(_note, body)
    if body.lstrip().startswith(("<?xml", "<score", "<!DOCTYPE", "not")):
        return body
    if not body.lstrip().startswith("<part"):
        body = (
            f'<part-list><score-part id="P1"><part-name>{name}</part-name></score-part></part-list>'
            f'<part id="P1">{body}</part>'
        )
    # Where the first measure says no divisions, they are those of the notes above.
    first = re.compile(r"(<measure[^>]*>)(?!\s*<attributes><divisions>)")
    said = f"<attributes><divisions>{_DIVISIONS}</divisions></attributes>"
    body = first.sub(rf"\g<1>{said}", body)
    return f'<?xml version="1.0"?><score-partwise version="4.0">{body}</score-partwise>'


def _note(match: re.Match[str]) -> str:
    value = VALUES[match["type"]] * (2 - Fraction(1, 2 ** len(match["dots"])))
    extra = match["extra"] or ""
    ratio = Fraction(1)
    late = ""
    if match["ratio"]:
        actual, normal = map(int, match["ratio"].split(":"))
        ratio = Fraction(normal, actual)
        late = (
            f"<time-modification><actual-notes>{actual}</actual-notes>"
            f"<normal-notes>{normal}</normal-notes></time-modification>"
        )
    first = "".join(f"<{tag}/>" for tag in _FIRST if f"<{tag}/>" in extra)
    for tag in _FIRST:
        extra = extra.replace(f"<{tag}/>", "")
    count = f"{float(value * ratio * 4 * _DIVISIONS):.6g}"
    length = "" if "<grace/>" in first else f"<duration>{count}</duration>"
    shape = f"<type>{match['type']}</type>{'<dot/>' * len(match['dots'])}"
    return f"<note>{first}{_what(match['what'])}{length}{shape}{late}{extra}</note>"


def _what(word: str) -> str:
    if word == "rest":
        return "<rest/>"
    match = _PITCH.fullmatch(word)
    assert match is not None, word
    alter = match["signs"].count("#") - match["signs"].count("b")
    altered = f"<alter>{alter}</alter>" if alter else ""
    step, octave = match["step"], match["octave"]
    return f"<pitch><step>{step}</step>{altered}<octave>{octave}</octave></pitch>"


def mei(body: str) -> str:
    if body.lstrip().startswith(("<?xml", "<mei", "<!DOCTYPE")):
        return body
    return (
        '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.1"><music><body><mdiv>'
        f"<score>{body}</score></mdiv></body></music></mei>"
    )
