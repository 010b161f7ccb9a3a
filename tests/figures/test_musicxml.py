"""MusicXML: valid by the published schema, and the same music when another library reads it."""

import io
import warnings
from fractions import Fraction
from pathlib import Path

import music21
import pytest
from lxml import etree

from stavewright.figures.mei import Sheet, fault_in
from stavewright.figures.mei.accidentals import nearest_sign
from stavewright.figures.musicxml import musicxml_file
from stavewright.figures.musicxml.timed import timed
from stavewright.notation.score import Drum, Score
from stavewright.theory import Pitch
from tests.figures.scores import CONSTRUCTS, EXAMPLES, HERE, read, written
from tests.figures.views.blocks import read_cases

# W3C Music Notation Community Group, MusicXML 4.0; too large to carry in the tree.
SCHEMAS = HERE.parents[2] / "shared" / "schemas"
# A bar that is too long is an error, and no figure is made of it.
WHOLE = [path for path in (*CONSTRUCTS, *EXAMPLES) if path.stem != "overfull"]
SCORES = [pytest.param(read(path), id=path.stem) for path in WHOLE]
SCORES += [
    pytest.param(case.score, id=case.title)
    for case in read_cases()[1]
    if case.score.voices and fault_in(case.score) is None
]


class _Beside(etree.Resolver):
    """What the schema imports from the web lies beside it."""

    def resolve(self, system_url: str, _: str, context: object) -> object:
        name = system_url.rsplit("/", 1)[-1]
        return self.resolve_filename(str(SCHEMAS / name), context)


@pytest.fixture(scope="module")
def schema() -> etree.XMLSchema:
    if not (SCHEMAS / "musicxml.xsd").exists():
        pytest.skip("the MusicXML schema does not lie in ../shared/schemas beside the checkout")
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(_Beside())
    return etree.XMLSchema(etree.parse(str(SCHEMAS / "musicxml.xsd"), parser))


def document(score: Score) -> bytes:
    return musicxml_file(Sheet.of(score))


@pytest.mark.parametrize("score", SCORES)
def test_documents_are_valid(schema: etree.XMLSchema, score: Score) -> None:
    parser = etree.XMLParser(load_dtd=False, no_network=True)
    tree = etree.fromstring(document(score), parser)
    assert schema.validate(tree), schema.error_log
    assert document(score) == document(score)


@pytest.mark.parametrize("score", SCORES)
def test_every_measure_of_every_part_is_as_long_as_its_bar(score: Score) -> None:
    """The cursor of `note`, `backup` and `forward` ends where the bar does."""
    root = etree.fromstring(document(score), etree.XMLParser(load_dtd=False))
    divisions = Fraction(root.findtext(".//divisions"))
    bars = timed(score).bars if any(v.events for v in score.voices) else score.bars
    for part in root.iter("part"):
        for measure, bar in zip(part.iter("measure"), bars, strict=True):
            at = Fraction(0)
            for element in measure:
                length = Fraction(element.findtext("duration") or "0") / divisions / 4
                if element.tag == "backup":
                    at -= length
                elif element.tag != "figured-bass" and element.find("chord") is None:
                    at += length
                assert at >= 0
            assert at == bar.length


def natural(pitch: Pitch) -> float:
    return Pitch(pitch.letter, 0, pitch.octave).key_number


def _pitches(score: Score) -> list[tuple[Fraction, float]]:
    """(quarters from the beginning, MIDI's note number) of every pitched head as it is written."""
    return sorted(
        (event.start * 4, nearest_sign(head.sound.cents_altered) / 100 + natural(head.sound) + up)
        for voice in timed(score).voices
        for up in [voice.transposition.cents / 100 if voice.transposition else 0]
        for event in voice.events
        for head in event.heads
        if isinstance(head.sound, Pitch)
    )


@pytest.mark.parametrize("score", SCORES)
def test_read_back_by_music21_it_is_the_same_music(score: Score) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = music21.converter.parseData(document(score).decode(), format="musicxml")
    pitches = sorted(
        (Fraction(note.getOffsetInHierarchy(found)).limit_denominator(5040), round(pitch.ps, 2))
        for note in found.recurse().notes
        if not isinstance(note, music21.harmony.Harmony) and not note.duration.isGrace
        for pitch in note.pitches
    )
    assert pitches == [(at, round(key, 2)) for at, key in _pitches(score)]


@pytest.mark.parametrize("score", SCORES)
def test_every_beam_that_begins_ends(score: Score) -> None:
    root = etree.fromstring(document(score), etree.XMLParser(load_dtd=False))
    for part in root.iter("part"):
        for voice in {each.text for each in part.iter("voice")}:
            open_beams: set[str] = set()
            for note in part.iter("note"):
                for beam in note.iter("beam") if note.findtext("voice") == voice else ():
                    level = beam.get("number")
                    assert (level in open_beams) == (beam.text in {"continue", "end"})
                    if beam.text == "begin":
                        open_beams.add(level)
                    elif beam.text == "end":
                        open_beams.remove(level)
            assert not open_beams


def test_beams_show_the_beats() -> None:
    block = "time: 2/4\nnotes: 1/8 C4 3/16 D4 1/16 E4 1/8 F4 | 3/16 C4 1/16 D4 1/4 E4"
    root = etree.fromstring(document(written(block)), etree.XMLParser(load_dtd=False))
    told = [[beam.text for beam in note.iter("beam")] for note in root.iter("note")]
    assert told[4:] == [["begin"], ["end", "backward hook"], []]


def test_symbols_over_bare_heads_stand_once_in_their_bars() -> None:
    score = written("notes: C4 D4 E4 F4\nchords: 1/1 C | 1/1 Dm | 1/1 G")
    root = etree.fromstring(document(score), etree.XMLParser(load_dtd=False))
    steps = [[e.text for e in bar.iter("root-step")] for bar in root.iter("measure")]
    assert steps == [["C"], ["D"], ["G"]]
    assert [child.tag for child in root.find("part/measure")][:2] == ["attributes", "harmony"]


def test_percussion_names_its_instruments() -> None:
    score = read(Path(HERE / "constructs" / "drums.music"))
    root = etree.fromstring(document(score), etree.XMLParser(load_dtd=False))
    keys = {
        head.sound.key_number
        for voice in score.voices
        for event in voice.events
        for head in event.heads
        if isinstance(head.sound, Drum)
    }
    assert {int(each.text) - 1 for each in root.iter("midi-unpitched")} == keys
    assert {
        note.find("instrument").get("id")
        for note in root.iter("note")
        if note.find("unpitched") is not None
    } == {each.get("id") for each in root.iter("score-instrument")}
    assert io.BytesIO(document(score)).read().startswith(b"<?xml")
