"""Digests that name what a value depends on."""

import hashlib

SIZE = 16
"""Bytes. Nobody gains by two texts of equal digest here, so 128 bits against chance are plenty."""


def digest(*parts: bytes | str) -> bytes:
    """A digest of `SIZE` bytes over the parts, each with its kind and length.

    So `digest("ab", "c")`, `digest("a", "bc")` and `digest(b"ab", "c")` are three. Text that came
    from the disk may hold half surrogate pairs; those count as themselves.
    """
    whole = hashlib.blake2b(digest_size=SIZE)
    for part in parts:
        if isinstance(part, str):
            data = part.encode("utf-8", "surrogatepass")
            whole.update(b"s%d:" % len(data))
        else:
            data = part
            whole.update(b"b%d:" % len(data))
        whole.update(data)
    return whole.digest()
