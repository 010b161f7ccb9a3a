"""A value as it lies in the store: a seal, how it is packed, and the data.

The seal is a digest over kind, key and all that follows it. A bit that flipped on the disk, or a
row that a damaged index gives for another key, does not fit and counts as absent.
"""

import hashlib
import zlib

from stavewright.site.store.digest import SIZE, digest

_PLAIN, _DEFLATED = b"\0", b"\1"
_SMALL = 128
"""Bytes below which packing gains nothing."""
_MOST = 1 << 28
"""Bytes of the largest value that is unpacked, 256 MB: a bound on what damage could ask for."""


def name_of(kind: str, key: bytes) -> bytes:
    """What a value is filed under."""
    return digest(kind, key)


def seal(name: bytes, value: bytes) -> bytes:
    """The value as it is kept, packed where that makes it clearly smaller."""
    body = _PLAIN + value
    if len(value) >= _SMALL:
        packed = zlib.compress(value, 1)
        if len(packed) * 8 < len(value) * 7:
            body = _DEFLATED + packed
    return _seal(name, body) + body


def unseal(name: bytes, kept: object) -> bytes | None:
    """The value, or None where it is not what `seal` made for this name."""
    if not isinstance(kept, bytes) or len(kept) <= SIZE:
        return None
    body = kept[SIZE:]
    if kept[:SIZE] != _seal(name, body):
        return None
    if body[:1] == _PLAIN:
        return body[1:]
    try:
        inflate = zlib.decompressobj()
        value = inflate.decompress(body[1:], _MOST)
    except zlib.error:
        return None
    return value if inflate.eof else None


def _seal(name: bytes, body: bytes) -> bytes:
    return hashlib.blake2b(body, digest_size=SIZE, key=name).digest()
