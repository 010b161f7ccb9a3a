"""Where made articles wait for those who need them: in the store, part by part."""

from collections.abc import Collection, Mapping, Sequence
from sys import intern
from typing import Final

from stavewright.site.making.body import Body
from stavewright.site.making.essence import Essence
from stavewright.site.making.made import KeptFile
from stavewright.site.making.parcel import BODIES, ESSENCES, FILES, Parcel
from stavewright.site.making.read_ahead import ReadAhead
from stavewright.site.store import Codec, Store, digest

_ESSENCE: Final = "essence"
_BUNDLE: Final = "essences"
_BUNDLES: Final = Codec(dict[bytes, Essence])
_BODY: Final = "body"
_FILES: Final = "files"


class Shelf:
    """What was made, by the key of its order. Any part may be gone: a store promises nothing."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._passing: dict[bytes, Parcel] = {}
        """What another try may make better, so that it is not kept beyond this run."""
        self._bodies = ReadAhead(store, _BODY, BODIES)
        self._offered = ReadAhead(store, _FILES, FILES)
        self._files: tuple[bytes, tuple[KeptFile, ...]] | None = None
        """Those that were last asked for: who asks for one of an article's asks for the next."""
        self._again: tuple[bytes, Parcel] | None = None
        """What the store had lost, and was made once more."""
        self._bundled: dict[bytes, bytes] = {}
        """A digest of the keys in each bundle, as the store has it."""

    @property
    def drawings(self) -> Store:
        """Where drawings are kept."""
        return self._store

    def essences(self, keys: Collection[bytes], bundle: bytes) -> Mapping[bytes, Essence]:
        """Those that are there and whole, with the help of the bundle of a name."""
        bundled = _BUNDLES.decode_if_whole(self._store.get(_BUNDLE, bundle)) or {}
        self._bundled[bundle] = digest(*bundled)
        found = {key: bundled[key] for key in keys if key in bundled}
        others = [key for key in keys if key not in found]
        for key, data in self._store.get_many(_ESSENCE, others).items():
            essence = ESSENCES.decode_if_whole(data)
            if essence is not None:
                found[key] = essence
        # They are read only when a page is put together again, which may be long from now.
        for kind in (_BODY, _FILES, _ESSENCE):
            self._store.touch(kind, found)
        return {key: _shared(essence) for key, essence in found.items()}

    def bundle(self, name: bytes, essences: Mapping[bytes, Essence]) -> None:
        """Keep essences once more, those of many articles together, which is read far quicker."""
        lasting = {key: it for key, it in essences.items() if self.is_lasting(key)}
        if self._bundled.get(name) != digest(*lasting):
            self._store.put(_BUNDLE, name, _BUNDLES.encode(lasting))

    def keep(self, key: bytes, parcel: Parcel) -> Essence:
        """Put a made article on the shelf; gives its essence."""
        if parcel.lasting:
            self._passing.pop(key, None)
            self._store.put(_BODY, key, parcel.body)
            self._store.put(_FILES, key, parcel.files)
            # Last: whoever finds the essence may hope for the rest.
            self._store.put(_ESSENCE, key, parcel.essence)
        else:
            self._passing[key] = parcel
        return _shared(ESSENCES.decode(parcel.essence))

    def keep_here(self, key: bytes, parcel: Parcel) -> None:
        """Put an article that the store has lost on the shelf, until the next such one."""
        self._again = (key, parcel)

    @property
    def all_lasting(self) -> bool:
        """Whether every order would give the same again."""
        return not self._passing

    def is_lasting(self, key: bytes) -> bool:
        """Whether the same order would give the same again."""
        return key not in self._passing

    def expect(self, keys: Sequence[bytes]) -> None:
        """Say in which order bodies will be asked for, and then files, where they are."""
        self._bodies.expect(keys)
        self._offered.expect(keys)

    def body(self, key: bytes) -> Body | None:
        """The page of an article."""
        held = self._held(key)
        if held is not None:
            return BODIES.decode(held.body)
        return self._bodies.get(key)

    def files(self, key: bytes) -> tuple[KeptFile, ...] | None:
        """The files that an article's figures offer."""
        held = self._held(key)
        if held is not None:
            return FILES.decode(held.files)
        last = self._files
        if last is not None and last[0] == key:
            return last[1]
        files = self._offered.get(key)
        self._files = None if files is None else (key, files)
        return files

    def _held(self, key: bytes) -> Parcel | None:
        again = self._again
        return again[1] if again and again[0] == key else self._passing.get(key)


def _shared(essence: Essence) -> Essence:
    """The essence, its paths and terms one and the same text in all essences that name them.

    Decoding gives each a text of its own.
    """
    # Equal before and after; nobody else has seen this value yet.
    object.__setattr__(essence, "path", intern(essence.path))
    for name in ("ways", "mentions", "uses"):
        object.__setattr__(essence, name, tuple(map(intern, getattr(essence, name))))
    return essence
