"""Whether the site in place is the very one that was last written there."""

from pathlib import Path

from stavewright.site.store import Store
from stavewright.site.write.folders import recover
from stavewright.site.write.marker import held
from stavewright.site.write.record import Earlier


def standing(output: Path, store: Store) -> bytes | None:
    """A digest of the site in a folder, if each of its files is as it was written; else None.

    Says nothing of other files there: `refuse_unsafe` does. What a killed build left is tidied.
    """
    target = output.resolve()
    recover(target)
    with held(target):
        return Earlier.of(target, store).standing()
