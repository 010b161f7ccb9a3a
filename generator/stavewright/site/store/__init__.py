"""What earlier builds made, kept by the digest of all that it was made from.

A cache that cannot lie and cannot hurt. It cannot lie: a key is a digest of everything a value
depends on, and a value comes back only if its seal, a digest over kind, key and value, still fits.
It cannot hurt: damaged, locked, full, forbidden or deleted while in use, the store gives nothing
and takes nothing, says so once in a plain sentence, and the build does the work itself.

    with Store.open(store_file(content, choice)) as store:
        data = store.get("engraving", key)
        store.put("engraving", key, data)

`Store` may be used from several threads, and one file by several processes. `digest` makes keys,
`Codec` turns frozen values into bytes and back without running any code, `store_file` says where a
content folder's store lies. What opens a store is loaded when it is first asked for: makers have
need of digests and codecs alone.
"""

from typing import TYPE_CHECKING

from stavewright.lazy import names_of
from stavewright.site.store.codec import Codec, StaleError
from stavewright.site.store.digest import digest

if TYPE_CHECKING:
    from stavewright.site.store.place import ENVIRONMENT, store_file
    from stavewright.site.store.store import Store

__all__ = ["ENVIRONMENT", "Codec", "StaleError", "Store", "digest", "store_file"]

__getattr__ = names_of(__name__, {"place": ("ENVIRONMENT", "store_file"), "store": ("Store",)})
