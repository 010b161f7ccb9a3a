"""A whole MusicXML document: its head, its parts, and the parts put together bar by bar."""

import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from stavewright.importing.errors import CannotImportError
from stavewright.importing.model import Measure, Piece
from stavewright.importing.musicxml.part import PartMusic, read_part, staves_of
from stavewright.importing.pitches import drum_named
from stavewright.importing.remains import Remains
from stavewright.importing.tree import said, whole
from stavewright.notation.score import BarSign

_HOW: Final = "export MusicXML or MEI from your program"


def read_musicxml(root: ET.Element) -> Piece:
    """Read a `score-partwise` or `score-timewise`; raises CannotImportError."""
    if root.tag == "score-timewise":
        root = _partwise(root)
    remains = Remains()
    heads = {each.get("id", ""): each for each in root.findall("part-list/score-part")}
    parts: list[PartMusic] = []
    first = 0
    for part in root.findall("part"):
        head = heads.get(part.get("id", ""))
        parts.append(read_part(part, _part_name(head), _instruments(head), first, remains))
        first += staves_of(part)
    if not any(part.measures for part in parts):
        raise CannotImportError(f"the file holds no bars; {_HOW}")
    return Piece(
        title=_title(root),
        credits=tuple(_credits(root)),
        rights=tuple(filter(None, map(said, root.findall("identification/rights")))),
        sources=tuple(filter(None, map(said, root.findall("identification/source")))),
        staves=tuple(staff for part in parts for staff in part.staves),
        measures=tuple(_joined(parts)),
        left=tuple(remains.found),
        swing=next((part.swing for part in parts if part.swing), None),
    )


def _partwise(root: ET.Element) -> ET.Element:
    """The same music part by part."""
    turned = ET.Element("score-partwise")
    parts: dict[str, ET.Element] = {}
    for child in root:
        if child.tag != "measure":
            turned.append(child)
            continue
        for part in child.findall("part"):
            name = part.get("id", "")
            if name not in parts:
                parts[name] = ET.SubElement(turned, "part", {"id": name})
            measure = ET.SubElement(parts[name], "measure", child.attrib)
            measure.extend(part)
    return turned


def _title(root: ET.Element) -> str | None:
    titles = [said(root, "work/work-title"), said(root, "movement-title")]
    titles += [
        said(credit, "credit-words")
        for credit in root.findall("credit")
        if said(credit, "credit-type") == "title"
    ]
    return next(filter(None, titles), None)


def _credits(root: ET.Element) -> Iterator[str]:
    for creator in root.findall("identification/creator"):
        name, kind = said(creator), creator.get("type", "")
        if name:
            yield name if kind in ("", "composer") else f"{name} ({kind})"


def _part_name(head: ET.Element | None) -> str:
    if head is None:
        return ""
    return said(head, "part-name") or said(head, "score-instrument/instrument-name")


def _instruments(head: ET.Element | None) -> dict[str, int]:
    """Percussion by instrument id: MIDI's numbers from 0 are counted from 1 here."""
    found: dict[str, int] = {}
    for sound in head.findall("midi-instrument") if head is not None else ():
        number = whole(said(sound, "midi-unpitched"))
        if number is not None:
            found[sound.get("id", "")] = number - 1
    for instrument in head.findall("score-instrument") if head is not None and found else ():
        drum = drum_named(said(instrument, "instrument-name"))
        if drum is not None:
            found.setdefault(instrument.get("id", ""), drum.key_number)
    return found


def _joined(parts: Sequence[PartMusic]) -> Iterator[Measure]:
    """The bars of all parts laid over one another; what holds for all is taken from the first."""
    for index in range(max(len(part.measures) for part in parts)):
        here = [part.measures[index] for part in parts if index < len(part.measures)]
        first = here[0]
        yield replace(
            first,
            length=max(bar.length for bar in here),
            streams=tuple(stream for bar in here for stream in bar.streams),
            meters=next((bar.meters for bar in here if bar.meters), ()),
            keys=tuple(key for bar in here for key in bar.keys),
            tempos=next((bar.tempos for bar in here if bar.tempos), ()),
            playback=next((bar.playback for bar in here if bar.playback), ()),
            clefs=tuple(clef for bar in here for clef in bar.clefs),
            chords=next((bar.chords for bar in here if bar.chords), ()),
            numerals=next((bar.numerals for bar in here if bar.numerals), ()),
            figures=next((bar.figures for bar in reversed(here) if bar.figures), ()),
            closing=_strongest(here),
            opens_repeat=any(bar.opens_repeat for bar in here),
            invisible=all(bar.invisible for bar in here),
            uncounted=any(bar.uncounted for bar in here),
        )


def _strongest(bars: Sequence[Measure]) -> BarSign:
    for sign in (BarSign.REPEAT_END, BarSign.FINAL, BarSign.DOUBLE):
        if any(bar.closing is sign for bar in bars):
            return sign
    return BarSign.SINGLE
