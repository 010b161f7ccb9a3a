"""What is asked of a maker and what it gives."""

from dataclasses import dataclass

from stavewright.site.making.body import Body
from stavewright.site.making.essence import Essence
from stavewright.site.store import digest


@dataclass(frozen=True, slots=True)
class Order:
    """An article to make."""

    path: str
    """Relative to the content folder, with `/`."""
    file: str
    """As findings name it."""
    data: bytes
    """What its file holds."""

    def key(self, manner: bytes) -> bytes:
        """The digest of everything that what is made of it depends on."""
        return digest(manner, self.path, self.file, self.data)


@dataclass(frozen=True, slots=True)
class KeptFile:
    """A file that a figure offers, named after what it holds."""

    path: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Made:
    """An article, made."""

    essence: Essence
    body: Body
    files: tuple[KeptFile, ...]
    lasting: bool = True
    """Whether the same order would give the same again; not where a maker broke down over it."""
