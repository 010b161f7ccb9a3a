"""Frozen values as bytes and back, by their type: nothing that is read back can run code.

MessagePack by msgspec: dataclasses, enums, dates, tuples, text and bytes as their annotations say.
What is read back is checked against the type, so a value that was written by another version is a
`StaleError`, never half a value. Fractions and paths, which MessagePack does not know, are text.
"""

from fractions import Fraction
from pathlib import PurePath
from typing import Any, Generic, TypeVar

import msgspec

T = TypeVar("T")


class StaleError(ValueError):
    """Bytes that are no value of the type asked for."""


class Codec(Generic[T]):
    """Writes and reads the values of one type; make it once and keep it.

    The type may be any that msgspec knows: above all dataclasses with annotated fields. A union may
    hold one dataclass at most, beside None and plain types.
    """

    def __init__(self, kind: type[T]) -> None:
        self._encoder = msgspec.msgpack.Encoder(enc_hook=_written)
        self._decoder = msgspec.msgpack.Decoder(kind, dec_hook=_read)

    def encode(self, value: T) -> bytes:
        """The value as bytes; equal values give equal bytes as long as no set is in them."""
        return self._encoder.encode(value)

    def decode(self, data: bytes) -> T:
        """The value. Raises `StaleError` where the bytes are none of this type."""
        try:
            return self._decoder.decode(data)
        except (msgspec.MsgspecError, ValueError, RecursionError) as error:
            raise StaleError(str(error)) from error

    def decode_if_whole(self, data: bytes | None) -> T | None:
        """The value; None where there are no bytes, or they are none of this type."""
        try:
            return None if data is None else self.decode(data)
        except StaleError:
            return None


def _written(value: object) -> str:
    if isinstance(value, Fraction | PurePath):
        return str(value)
    raise TypeError(f"no way is known to write {value!r}")


def _read(kind: type[Any], written: object) -> Any:
    if isinstance(written, str) and (kind is Fraction or issubclass(kind, PurePath)):
        return kind(written)
    raise ValueError(f"{kind.__name__} cannot be read from {written!r}")
