"""From the bytes of a file to the text of a music block."""

from collections.abc import Sequence
from dataclasses import dataclass

from stavewright.importing.errors import CannotImportError
from stavewright.importing.mei import read_mei
from stavewright.importing.model import Left, Piece
from stavewright.importing.musicxml import read_musicxml
from stavewright.importing.opening import open_tree
from stavewright.importing.remains import Remains, summary
from stavewright.importing.select import Bar, bar_range, bars_of
from stavewright.importing.writing.block import Excerpt, block_text
from stavewright.importing.writing.voices import staff_names
from stavewright.notation.limits import MOST_VOICES


@dataclass(frozen=True, slots=True)
class Imported:
    """An excerpt brought in."""

    text: str
    """The block, without its fence and without a line end after it."""
    left: tuple[str, ...]
    """What is not carried over, one line for each kind."""
    quotes: bool
    """Whether the file names an author or rights, which is worth a word on quoting."""


def import_excerpt(data: bytes, bars: str | None = None, staves: Sequence[str] = ()) -> Imported:
    """Bring in the bars `3-5` of some staves, given by name or by number from the top.

    Without `bars` or `staves` all of them. Raises CannotImportError.
    """
    return excerpt_of(read_piece(data), bars, staves)


def read_piece(data: bytes) -> Piece:
    """Read a file of MusicXML or MEI; raises CannotImportError."""
    root = open_tree(data)
    if root.tag in ("score-partwise", "score-timewise"):
        return read_musicxml(root)
    if root.tag in ("mei", "meiCorpus", "music"):
        return read_mei(root)
    raise CannotImportError(
        f"the file's outermost element is <{root.tag}>; MusicXML begins with <score-partwise> "
        "or <score-timewise>, MEI with <mei>"
    )


def excerpt_of(piece: Piece, bars: str | None = None, staves: Sequence[str] = ()) -> Imported:
    """Write an excerpt of a piece that has been read; raises CannotImportError."""
    every = bars_of(piece.measures)
    return _written(piece, every, bar_range(every, bars), _chosen(piece, staves))


def slice_of(piece: Piece, first: int, stop: int) -> Imported:
    """Write some bars of a piece by their place, from 0, in the order of the file."""
    every = bars_of(piece.measures)
    return _written(piece, every, (first, min(stop, len(every))), _chosen(piece, ()))


def _written(
    piece: Piece, every: tuple[Bar, ...], reach: tuple[int, int], chosen: tuple[int, ...]
) -> Imported:
    first, stop = reach
    remains = Remains(found=[left for left in piece.left if left.staff in (None, *chosen)])
    text = block_text(Excerpt(piece, every, first, stop, chosen), remains)
    numbers = {index: bar.number for bar in every[first:stop] for index in bar.indices}
    quotes = bool(piece.credits or piece.rights)
    return Imported(text, summary(_in_order(remains.found), numbers), quotes)


def _in_order(left: Sequence[Left]) -> list[Left]:
    return sorted(left, key=lambda each: each.bar)


def _chosen(piece: Piece, wanted: Sequence[str]) -> tuple[int, ...]:
    names = staff_names(piece.staves)
    found: set[int] = set()
    for word in wanted:
        here = _staff(names, word, piece)
        if not here:
            listed = ", ".join(f"{number} {name}" for number, name in enumerate(names, 1))
            raise CannotImportError(f"there is no staff {word[:40]!r}; the staves are: {listed}")
        found.update(here)
    chosen = tuple(sorted(found)) or tuple(range(len(names)))
    if len(chosen) > MOST_VOICES:
        raise CannotImportError(
            f"the file has {len(names)} staves, and a block at most {MOST_VOICES} voices; "
            "choose some with --staff"
        )
    return chosen


def _staff(names: Sequence[str], word: str, piece: Piece) -> list[int]:
    """The staves that a word names: one by its number or name, all of a part by the part's name."""
    if word.isdecimal() and len(word) < 4:
        return [int(word) - 1] if 1 <= int(word) <= len(names) else []
    plain = word.strip().lower()
    if plain in names:
        return [names.index(plain)]
    return [i for i, staff in enumerate(piece.staves) if staff.part.lower() == plain]
