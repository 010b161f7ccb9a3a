"""Every music block that can be engraved: fixtures, examples, and all that the content holds."""

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from stavewright.figures.figure import EngravingFault, EngravingJob
from stavewright.figures.staff import charted, jobs, sheet_of
from stavewright.notation import parse_block
from stavewright.notation.realise import realise
from stavewright.notation.score import Score
from tests.figures.scores import CONSTRUCTS, EXAMPLES, read

CONTENT = Path(__file__).parents[2] / "content"
_FENCED = re.compile(r"^```music\n(.*?)^```", re.DOTALL | re.MULTILINE)


@cache
def engraving_jobs() -> dict[str, tuple[EngravingJob, ...]]:
    """What the engraver is asked for, by the name of the block."""
    sheets = {name: sheet_of(score) for name, score in _scores()}
    return {
        name: jobs(sheet) for name, sheet in sheets.items() if not isinstance(sheet, EngravingFault)
    }


def _scores() -> Iterator[tuple[str, Score]]:
    for path in (*CONSTRUCTS, *EXAMPLES):
        yield path.stem, read(path)
    for path in sorted(CONTENT.rglob("*.md")):
        for number, block in enumerate(_FENCED.findall(path.read_text("utf-8"))):
            yield f"{path.stem} {number}", charted(realise(parse_block(block).score))
