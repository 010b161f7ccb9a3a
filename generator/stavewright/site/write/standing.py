"""Whether the site in place is the very one that was last written there."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from stavewright.site.errors import OutputError
from stavewright.site.store import Store
from stavewright.site.write.folders import recover
from stavewright.site.write.marker import held, listed
from stavewright.site.write.record import Earlier


def standing(output: Path, store: Store) -> bytes | None:
    """A digest of the site in a folder, if each of its files is as it was written; else None.

    Says nothing of other files there: `refuse_unsafe` does. What a killed build left is tidied.
    """
    target = output.resolve()
    recover(target)
    with held(target):
        return Earlier.of(target, store).standing()


@contextmanager
def holding(output: Path, store: Store, site: bytes) -> Iterator[tuple[str, ...]]:
    """Keep builds off the site in a folder while it is read; gives the paths of its files, sorted.

    `site` is the digest that the build gave of it. Raises `OutputError` if what stands there is
    anything else by now, so that what goes out is what was checked.
    """
    target = output.resolve()
    with held(target):
        if Earlier.of(target, store).standing() != site:
            raise OutputError(
                f"{output} is no longer as the build left it; do not build or edit there at the "
                "same time, and publish again (with `--store none`, if the store cannot be used)"
            )
        yield tuple(listed(target))
