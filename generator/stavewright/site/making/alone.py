"""Making articles in this very process, with whatever engraver one is given."""

from collections.abc import Iterable, Iterator

from stavewright.figures.figure import Engraver
from stavewright.site.making.made import Order
from stavewright.site.making.make import make
from stavewright.site.making.manner import Manner
from stavewright.site.making.parcel import Parcel
from stavewright.site.render import Renderer
from stavewright.site.store import Store


class Alone:
    """`Makers` without processes of their own, for engravers that look after themselves."""

    def __init__(self, engraver: Engraver) -> None:
        self._engraver = engraver

    def make(
        self, manner: Manner, orders: Iterable[Order], drawings: Store | None = None
    ) -> Iterator[tuple[Order, Parcel]]:
        """See `Makers`; drawings are neither looked for nor kept."""
        del drawings
        renderer = Renderer.of(manner.theme)
        for order in orders:
            yield order, Parcel.of(make(order, manner, renderer, self._engraver))

    def warm(self) -> None:
        """See `Makers`; there is nothing to do."""

    def rest(self) -> None:
        """See `Makers`; there is nothing to do."""
