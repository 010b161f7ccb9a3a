"""The seam between a build and whoever makes its articles."""

from collections.abc import Iterable, Iterator
from typing import Protocol

from stavewright.site.making.made import Order
from stavewright.site.making.manner import Manner
from stavewright.site.making.parcel import Parcel
from stavewright.site.store import Store


class Makers(Protocol):
    """Whoever makes articles: a `Workshop` of processes, or one engraver in this process."""

    def make(
        self, manner: Manner, orders: Iterable[Order], drawings: Store | None = None
    ) -> Iterator[tuple[Order, Parcel]]:
        """Make each order, in whatever order, asking for no more of them than are worked on.

        `drawings` are those of earlier builds, and new ones are added to it. Raises `ThemeError`
        where the theme cannot set a figure.
        """
        ...

    def warm(self) -> None:
        """Be ready for an order that is expected soon."""
        ...

    def rest(self) -> None:
        """Take no memory until there is another order; none is expected."""
        ...
