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

    @property
    def text(self) -> bytes:
        """The digest of its text and its names."""
        return digest(self.path, self.file, self.data)

    def key(self, manner: bytes) -> bytes:
        """The digest of everything that what is made of it depends on."""
        return key_of(manner, self.text)


def key_of(manner: bytes, text: bytes) -> bytes:
    """The key of an order, of which the digest of its text says enough."""
    return digest(manner, text)


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
