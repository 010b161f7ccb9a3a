"""The engraver's elements written out in the fewest letters that draw the same picture.

Groups without a name of ours are opened up, the lines of a staff are one path, coordinates carry no
separators they can do without, and a glyph of full size is a name and a place. Nothing is joined
that could overlap: two strokes that meet are darker at their seam than one.

The engraver writes no space between its elements, and every `<` begins a tag. So they are read tag
by tag as they stand: a tree of them would take longer to build than all else here, and of most
nothing stays. Only text, which is set by what lies in what, becomes a tree.
"""

import re
import xml.etree.ElementTree as ET
from functools import lru_cache
from typing import Final, NamedTuple

from stavewright.figures.svg.glyphs import SCALE
from stavewright.figures.svg.paths import joined, shortened
from stavewright.figures.svg.runs import written
from stavewright.figures.svg.text import reach_left, set_text

_GROUP_END, _TEXT_END, _EMPTY_END = "/g>", "/text>", "/>"
_PATH: Final = 'path d="'
_INKED: Final = ' stroke="currentColor"'
"""On every shape: `figure.css` says so for all."""

_NAME: Final = re.compile(r' id="([^"]*)"')
_MOVED: Final = re.compile(r' transform="[^"]*"')
_LEVEL: Final = re.compile(r'path d="M(-?\d+) (-?\d+) L(-?\d+) \2"(.*)')
_ANCHORS: Final = re.compile(r' (x|y|text-anchor)="([^"]+)"')
_RUN_NAME: Final = re.compile(r'(?<=<tspan) id="[^"-]*"')
_GLYPH: Final = re.compile(r'use href="#([0-9A-F]+)[^"]*" transform="([^"]*)"/>')
_PLACED: Final = re.compile(
    r'use href="#([0-9A-F]+)[^"]*" '
    r'transform="translate\((-?[\d.]+), ?(-?[\d.]+)\) scale\((-?[\d.]+), \4\)"/>'
)
_FULL_SIZE: Final = f"{SCALE:g}"

_INVISIBLE: Final = "placeholder"
_MARKER: Final = "MilestoneEnd"
_KEPT_CLASSES: Final = frozenset({"hl", "ring"})
"""What a style sheet of a page speaks of."""


class _Look(NamedTuple):
    """How the text in a group is set."""

    attributes: str = ""
    is_figured: bool = False
    """It is the figures of a bass."""


_LOOKS: Final = {
    "ending": _Look(' font-weight="bold"'),
    "dir": _Look(' font-style="italic"'),
    "dynam": _Look(' font-style="italic"'),
    "mNum": _Look(' font-style="italic"'),
    "fb": _Look(is_figured=True),
}
"""How the engraver sets the text inside these. It has tempo marks and what stands over single notes
bold too; ours are metronome marks and signs, which are printed light."""
_UNTAGGED: Final = -1


class _Writing:
    """What has been written so far, and the groups that are open."""

    def __init__(self) -> None:
        self.out: list[str] = []
        self.starts: list[int] = []
        """Where in it the tag of each open group stands; `_UNTAGGED` for one that has none."""
        self.looks = [_Look()]
        """How text is set in each open group, after how it is set outside of all."""


def compact(drawn: str) -> str:
    """The engraver's elements, in fewer words; see `finish.Sheet` for what they are taken from."""
    writing = _Writing()
    out = writing.out
    # Each begins after its "<"; the next to be read is the last.
    tags = drawn.split("<")[:0:-1]
    while tags:
        tag = tags.pop()
        if tag == _GROUP_END:
            _close(writing)
        elif tag.startswith("g "):
            _open(tag, tags, writing)
        elif tag.startswith("use "):
            out.append(_glyph(tag))
        elif tag.startswith(_PATH):
            out.append(_path(tag))
        elif tag.startswith("text "):
            out.append(_text(tag, tags, writing.looks[-1]))
        else:
            out.append("<" + tag.replace(_INKED, ""))
    return "".join(out)


class _Kind(NamedTuple):
    """What a group's tag says about it, from its classes on."""

    is_invisible: bool
    is_staff: bool
    look: _Look | None
    """How text inside is set; None where the group says nothing about it."""
    kept: str
    """Attributes that stay."""


@lru_cache(maxsize=512)  # the same few hundred in all drawings
def _kind_of(words: str) -> _Kind:
    classes, _, others = words.partition('"')
    names = classes.split()
    first = names[0] if names else ""
    kept = " ".join(name for name in names if name in _KEPT_CLASSES)
    moved = _MOVED.search(others)
    return _Kind(
        is_invisible=_INVISIBLE in names or first.endswith(_MARKER),
        is_staff=first == "staff",
        look=_LOOKS.get(first),
        kept=(f' class="{kept}"' if kept else "") + (moved[0] if moved else ""),
    )


def _open(tag: str, tags: list[str], writing: _Writing) -> None:
    if tag.endswith(_EMPTY_END):
        return  # nothing in it: nothing to light up either
    _, _, words = tag.partition(' class="')
    kind = _kind_of(words)
    if kind.is_invisible:
        _skip_group(tags)
        return
    opening = _name(tag) + kind.kept if "-" in tag else kind.kept
    writing.looks.append(kind.look or writing.looks[-1])
    if not opening:
        writing.starts.append(_UNTAGGED)
    else:
        writing.starts.append(len(writing.out))
        writing.out.append(f"<g{opening}>")
    if kind.is_staff:
        _write_staff_lines(tags, writing.out)


def _close(writing: _Writing) -> None:
    writing.looks.pop()
    start = writing.starts.pop()
    if start == _UNTAGGED:
        return
    if len(writing.out) == start + 1:
        writing.out.pop()
    else:
        writing.out.append("</g>")


def _skip_group(tags: list[str]) -> None:
    """Leave out what is left of a group."""
    depth = 1
    while depth:
        tag = tags.pop()
        if tag == _GROUP_END:
            depth -= 1
        elif tag.startswith("g ") and not tag.endswith(_EMPTY_END):
            depth += 1


def _name(tag: str) -> str:
    """The attribute for a name of ours: the engraver's are letters and digits, each of ours has a
    hyphen, and `x-` begins those that only tell runs of text apart."""
    name = _NAME.search(tag)
    if name is None or "-" not in name[1] or name[1].startswith("x-"):
        return ""
    return f' data-id="{name[1]}"'


def _write_staff_lines(tags: list[str], out: list[str]) -> None:
    """Write a staff's lines, which lie clear of each other, as one path."""
    lines: list[tuple[int, int, int]] = []
    alike = ""
    while (level := _LEVEL.fullmatch(tags[-1])) is not None:
        x1, y, x2, rest = level.groups()
        if lines and rest != alike:
            break
        lines.append((int(x1), int(y), int(x2)))
        alike = rest
        tags.pop()
    if lines:
        out.append(f'<path d="{joined(lines)}"{alike.replace(_INKED, "")}')


def _path(tag: str) -> str:
    data, _, rest = tag.removeprefix(_PATH).partition('"')
    return f'<path d="{shortened(data)}"{rest.replace(_INKED, "")}'


def _glyph(tag: str) -> str:
    place = _PLACED.fullmatch(tag)
    if place is None:
        found = _GLYPH.fullmatch(tag)
        if found is None:
            raise ValueError(f"a glyph of another form than the engraver's: {tag}")
        return f'<use href="#{found[1]}" transform="{found[2]} scale({1 / SCALE:.7g})"/>'
    name, x, y, scale = place.groups()
    if scale == _FULL_SIZE:
        return f'<use href="#{name}" x="{x}" y="{y}"/>'
    size = f"{float(scale) / SCALE:.6g}".removeprefix("0")
    return f'<use href="#{name}" transform="translate({x} {y})scale({size})"/>'


def _text(tag: str, tags: list[str], look: _Look) -> str:
    place, _, beginning = tag.partition(">")
    parts = [beginning]
    while (part := tags.pop()) != _TEXT_END:
        parts.append(part)
    text = _typeset(_RUN_NAME.sub("", "<".join(parts)), look)
    if not text.rest:
        return ""
    anchors = dict(_ANCHORS.findall(place))
    if text.left:
        anchors["x"] = f"{float(anchors.get('x', 0)) - text.left:.0f}"
    placed = "".join(f' {name}="{value}"' for name, value in anchors.items())
    return f"<text{placed}{text.rest}"


class _Typeset(NamedTuple):
    """A text wherever it stands."""

    left: float
    """How far it is moved to the left, in drawing units."""
    rest: str
    """What follows its place; "" where there is no text."""


@lru_cache(maxsize=1024)  # chord symbols, fingers and verses come again and again
def _typeset(content: str, look: _Look) -> _Typeset:
    text = ET.fromstring(f"<text>{content}</text>")
    set_text(text)
    left = reach_left(text) if look.is_figured else 0.0
    return _Typeset(left, written(text, look.attributes))
