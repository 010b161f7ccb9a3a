"""A score as the key of a cache."""

from stavewright.notation.score import Score


class ThisScore:
    """A score as a key: the very object, spans and all, which equality leaves out."""

    __slots__ = ("score",)

    def __init__(self, score: Score) -> None:
        self.score = score

    def __eq__(self, other: object) -> bool:
        return isinstance(other, ThisScore) and other.score is self.score

    def __hash__(self) -> int:
        return id(self.score)
