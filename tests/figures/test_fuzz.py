"""Whatever an author writes, the staff is drawn, or a fault says why; and it can be said."""

import io
import json

import mido
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from stavewright.figures import staff_jobs
from stavewright.figures.mei import fault_in
from stavewright.figures.midi import midi_file
from stavewright.figures.sound import encode, perform
from stavewright.figures.spoken import speak_staff
from stavewright.figures.staff import documents
from stavewright.notation import parse_block
from tests.figures.scores import CONSTRUCTS, EXAMPLES, mei_text, written

_LINES = tuple(
    line
    for path in (*CONSTRUCTS, *EXAMPLES)
    for line in path.read_text(encoding="utf-8").splitlines()
    if line
)
_WORDS = tuple(sorted({word for line in _LINES for word in line.split()}))


@st.composite
def _blocks(draw: st.DrawFn) -> str:
    """A fixture with lines of others added, and words put in and taken out."""
    path = draw(st.sampled_from([*CONSTRUCTS, *EXAMPLES]))
    lines = path.read_text(encoding="utf-8").splitlines()
    lines += draw(st.lists(st.sampled_from(_LINES), max_size=3))
    for _ in range(draw(st.integers(0, 5))):
        at = draw(st.integers(0, len(lines) - 1))
        words = lines[at].split(" ")
        place = draw(st.integers(0, len(words)))
        if draw(st.booleans()):
            words.insert(place, draw(st.sampled_from(_WORDS)))
        else:
            del words[place : place + 1]
        lines[at] = " ".join(words)
    return "\n".join(lines)


@settings(max_examples=120, deadline=None, derandomize=True)
@given(_blocks())
def test_any_block_is_drawn_or_refused(text: str) -> None:
    staff_jobs(parse_block(text).score)
    score = written(text)
    spoken = speak_staff(score)
    assert spoken.line.endswith(".")
    if fault_in(score) is not None:
        return
    mei = etree.fromstring(mei_text(score).encode())
    name = "{http://www.w3.org/XML/1998/namespace}id"
    ids = [e.get(name) for e in mei.iter() if e.get(name)]
    assert len(ids) == len(set(ids))
    ends = {e.get(a, "#") for e in mei.iter() for a in ("startid", "endid") if e.get(a)}
    assert {end.removeprefix("#") for end in ends} <= set(ids)


@settings(max_examples=120, deadline=None, derandomize=True)
@given(_blocks())
def test_any_block_is_heard_and_taken_home(text: str) -> None:
    """Nothing raises, times never run backward, and the files can be read."""
    score = parse_block(text).score
    performance = perform(score)
    for note in performance.notes:
        assert note.attack <= note.release <= performance.length
    data = json.loads(encode(performance))
    assert len(data["notes"]) + len(data["hits"]) == len(performance.notes)
    midi = mido.MidiFile(file=io.BytesIO(midi_file(performance)))
    assert sum(m.type == "note_on" for m in midi) == len(performance.notes)
    found = documents(score)
    if found is not None and found[1] is not None:
        etree.fromstring(found[1], etree.XMLParser(load_dtd=False, no_network=True))
