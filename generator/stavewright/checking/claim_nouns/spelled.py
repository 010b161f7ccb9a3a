"""Comparing a list of note names with the names it should be."""

from collections.abc import Sequence

from stavewright.checking.claim_truth import Slip
from stavewright.notation.claim import Names
from stavewright.theory.pitch import PitchName


def shown(names: Sequence[PitchName]) -> str:
    """The names in a row, as a claim lists them."""
    return " ".join(name.spelled for name in names)


def same_sounds(one: Sequence[PitchName], other: Sequence[PitchName]) -> bool:
    """Whether two rows of names sound alike, one by one."""
    return [name.cents for name in one] == [name.cents for name in other]


def slip_in_order(said: Names, right: Sequence[PitchName]) -> Slip | None:
    """The one name that is wrong where names stand in a fixed order."""
    if len(said.names) != len(right):
        return None
    pairs = zip(said.names, right, said.spans, strict=True)
    wrong = [Slip(span, good.spelled) for name, good, span in pairs if name != good]
    return wrong[0] if len(wrong) == 1 else None


def slip_in_set(said: Names, right: Sequence[PitchName]) -> Slip | None:
    """The one name that is wrong where order does not matter."""
    extra = [at for at, name in enumerate(said.names) if name not in right]
    missing = [name for name in right if name not in said.names]
    if len(extra) != 1 or len(missing) != 1:
        return None
    return Slip(said.spans[extra[0]], missing[0].spelled)
