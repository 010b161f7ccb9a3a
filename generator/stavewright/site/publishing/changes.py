"""What publishing changes at its place, or would."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Site:
    """A site as it was built, held while it is read."""

    folder: Path
    files: tuple[str, ...]
    """Their paths below the folder, with `/`, sorted."""


@dataclass(frozen=True, slots=True)
class Changes:
    """Paths of files, with `/`; each list sorted."""

    new: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.new or self.changed or self.gone)

    @classmethod
    def between(cls, before: Mapping[str, object], after: Mapping[str, object]) -> "Changes":
        """From one state to another, each file by its path with anything that tells its content."""
        return cls(
            new=tuple(sorted(after.keys() - before.keys())),
            changed=tuple(sorted(p for p in after.keys() & before.keys() if after[p] != before[p])),
            gone=tuple(sorted(before.keys() - after.keys())),
        )
