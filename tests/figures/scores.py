"""Scores for the tests of this room."""

from pathlib import Path

from stavewright.figures.mei import Sheet, document
from stavewright.figures.staff import charted
from stavewright.notation import parse_block
from stavewright.notation.realise import realise
from stavewright.notation.score import Score

HERE = Path(__file__).parent
CONSTRUCTS = tuple(sorted((HERE / "constructs").glob("*.music")))
EXAMPLES = tuple(sorted((HERE.parent / "notation" / "examples").glob("*.music")))


def read(path: Path) -> Score:
    """The Score of a fixture."""
    return written(path.read_text(encoding="utf-8"))


def written(text: str) -> Score:
    """The Score of a block, as the staff draws it."""
    return charted(realise(parse_block(text).score))


def mei_text(score: Score) -> str:
    """A Score as the staff draws it, as MEI."""
    return document(Sheet.of(score))
