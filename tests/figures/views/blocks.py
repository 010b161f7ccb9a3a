"""Reads the titled blocks of `data/blocks.txt` with the spoken text agreed for each view."""

from dataclasses import dataclass
from pathlib import Path

from stavewright.notation import parse_block
from stavewright.notation.realise import realise
from stavewright.notation.score import Score

PATH = Path(__file__).parent / "data" / "blocks.txt"


@dataclass(frozen=True, slots=True)
class ViewCase:
    """A block and what its views are to say."""

    title: str
    block: str
    spoken: dict[str, str]
    """By the view's name; one sentence or more to a line."""

    @property
    def score(self) -> Score:
        """What the block means, its scale or chord list written out."""
        return score_of(self.block)


def score_of(block: str) -> Score:
    """The Score of a block that must have no mistake."""
    parsed = parse_block(block)
    assert not parsed.findings, [finding.message for finding in parsed.findings]
    return realise(parsed.score)


def read_cases() -> tuple[str, tuple[ViewCase, ...]]:
    """The comment at the head of the file, and its cases."""
    head, *texts = PATH.read_text(encoding="utf-8").split("=== ")
    cases = tuple(_case(text) for text in texts)
    titles = [case.title for case in cases]
    assert len(set(titles)) == len(titles), "a title is used twice"
    return head, cases


def write_cases(head: str, cases: tuple[ViewCase, ...]) -> None:
    """Write the file anew."""
    texts = [head]
    for case in cases:
        texts.append(f"=== {case.title}\n{case.block}")
        texts += [f"--- {view}\n{words}" for view, words in case.spoken.items()]
    PATH.write_text("".join(texts), encoding="utf-8")


def _case(text: str) -> ViewCase:
    title, _, rest = text.partition("\n")
    block, *views = rest.split("--- ")
    spoken = {view: words for view, _, words in (text.partition("\n") for text in views)}
    return ViewCase(title, block, spoken)
