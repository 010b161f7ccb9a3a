"""What a file holds and a block cannot say: collected while reading, told at the end."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from stavewright.importing.model import Left


@dataclass(slots=True)
class Remains:
    """Collects what is left behind; knows the bar that is being read."""

    bar: int = -1
    """Index of the bar; -1 for the whole piece."""
    found: list[Left] = field(default_factory=list)

    def leave(self, one: str, staff: int | None = None, *, many: str = "") -> None:
        """Note one thing in the present bar: `hairpin`; `many` where no s makes it several."""
        self.found.append(Left(one, self.bar, staff, many))


def summary(left: Iterable[Left], numbers: dict[int, str]) -> tuple[str, ...]:
    """One line for each kind: `3 hairpins, the first in bar 4`.

    `numbers` are the printed numbers of the bars by index; what lies in other bars is not told.
    """
    kinds: dict[str, list[Left]] = {}
    for each in left:
        if each.bar in numbers or each.bar < 0:
            kinds.setdefault(each.one, []).append(each)
    return tuple(_line(found, numbers) for found in kinds.values())


def _line(found: list[Left], numbers: dict[int, str]) -> str:
    first = found[0]
    count = len(found)
    words = first.one if count == 1 else first.many or f"{first.one}s"
    bars = sorted({each.bar for each in found if each.bar >= 0})
    if not bars:
        return words if count == 1 else f"{count} {words}"
    where = f"bar {numbers[bars[0]]}"
    if len(bars) == 1:
        return f"{count} {words}, in {where}"
    return f"{count} {words}, the first in {where}"
