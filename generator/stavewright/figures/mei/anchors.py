"""What a symbol over or under the staff hangs on.

The engraver centres a symbol, and makes room for it, only where it hangs on a note. Where no note
begins at its time, an invisible layer of spaces gives it a place.
"""

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction

from stavewright.figures.mei.ids import anchor_id
from stavewright.figures.mei.markup import Attributes, attributes, decimal, element
from stavewright.figures.mei.segments import Segment
from stavewright.figures.mei.strands import Strand
from stavewright.figures.mei.values import shape_attributes
from stavewright.theory.errors import TheoryError
from stavewright.theory.note_value import split

ANCHOR_LAYER = 9
"""Above any layer of notes, so that the stems of real voices stay as they are."""


_Moment = tuple[int, int, int, int]
"""A bar, a time by its numerator and denominator (a Fraction is slow to look up), a staff."""


class Anchors:
    """Finds places to hang symbols on, and remembers where spaces are needed."""

    def __init__(self, strands: Sequence[Strand], segments: Sequence[Segment]) -> None:
        self._segments = segments
        self._starts = [segment.start for segment in segments]
        self._staves = sorted({strand.staff for strand in strands})
        self._notes: dict[_Moment, str] = {}
        self._of_bar: dict[int, list[int]] = {}
        for place, segment in enumerate(segments):
            self._of_bar.setdefault(segment.bar, []).append(place)
        self._spaces: dict[tuple[int, int], list[Fraction]] = {}
        self._ids: dict[tuple[int, int], str] = {}
        for strand in strands:
            for item in strand.items:
                if item.fills_bar or item.id is None:
                    continue
                own = item.heads[0].id if len(item.heads) == 1 else item.id
                self._notes.setdefault(_moment(item.bar, item.start, strand.staff), own)
                for head in item.heads:
                    event = (head.place.voice, head.place.event)
                    self._ids.setdefault(event, own)

    def of_event(self, voice: int, event: int) -> str | None:
        """The id to hang a sign of an event on."""
        return self._ids.get((voice, event))

    def segment_at(self, time: Fraction) -> int:
        """Which segment a time lies in; of several that begin there, the first."""
        place = bisect_right(self._starts, time) - 1
        while place > 0 and self._starts[place - 1] == time:
            place -= 1
        return max(place, 0)

    def segment_of(self, bar: int, time: Fraction) -> int:
        """Which segment of a bar a time lies in."""
        for place in reversed(self._of_bar.get(bar, ())):
            segment = self._segments[place]
            if segment.opens or segment.start <= time:
                return place
        return self.segment_at(time)

    def stamp(self, place: int, time: Fraction) -> Fraction:
        """A time as the time stamp of its measure."""
        return self._segments[place].stamp(time)

    def at(self, time: Fraction, staff: int) -> tuple[int, Attributes]:
        """The segment of a time, and what hangs a symbol on it, for the staff it stands at."""
        place = self.segment_at(time)
        segment = self._segments[place]
        number = str(staff + 1)
        for other in (staff, *self._staves):
            note = self._notes.get(_moment(segment.bar, time, other))
            if note is not None:
                return place, {"startid": f"#{note}", "staff": number}
        # In a bar without any length, an error of its own, there is no room for a space.
        if time < segment.end and _is_spaceable(time - segment.start):
            spaces = self._spaces.setdefault((place, staff), [])
            if time not in spaces:
                spaces.append(time)
            name = _space_id(place, staff, time, segment)
            return place, {"startid": f"#{name}", "staff": number}
        return place, {"tstamp": decimal(segment.stamp(time)), "staff": number}

    def spaces(self, place: int, index: int) -> str:
        """The invisible layer of a staff in a segment; nothing where none is needed."""
        times = sorted(self._spaces.get((place, index), ()))
        if not times:
            return ""
        segment = self._segments[place]
        inside = ""
        at = segment.start
        for time in [*times, segment.end]:
            gap = time - at
            for number, value in enumerate(split(gap) if gap and _is_spaceable(gap) else ()):
                is_anchor = number == 0 and at in times
                name = _space_id(place, index, at, segment) if is_anchor else None
                inside += element("space", attributes({"xml:id": name}) + shape_attributes(value))
            at = time
        return element("layer", attributes({"n": str(ANCHOR_LAYER)}), inside)


def _moment(bar: int, time: Fraction, staff: int) -> _Moment:
    return bar, time.numerator, time.denominator, staff


def _space_id(place: int, staff: int, time: Fraction, segment: Segment) -> str:
    moment = (time - segment.start) * 1024
    return anchor_id(place, staff) + f"-{int(moment)}"


def _is_spaceable(gap: Fraction) -> bool:
    """Whether spaces can be written that end exactly here."""
    if gap == 0:
        return True
    try:
        split(gap)
    except TheoryError:
        return False
    return True
