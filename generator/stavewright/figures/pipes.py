"""Messages between a program and its own processes: a length of four bytes, and a pickled value.

Both ends are one program on one machine, and nothing that an author writes is ever read as a
message, so pickling is safe here; nothing that is kept for later is pickled.
"""

import pickle
import struct
from typing import IO, Any

_HEADER = struct.Struct(">I")


def receive(stream: IO[bytes]) -> Any | None:
    """Read one message; None where the other side has closed, or was lost half way."""
    header = stream.read(_HEADER.size)
    if len(header) < _HEADER.size:
        return None
    (length,) = _HEADER.unpack(header)
    body = stream.read(length)
    return pickle.loads(body) if len(body) == length else None


def send(stream: IO[bytes], message: Any) -> None:
    """Write one message and push it out."""
    body = pickle.dumps(message, pickle.HIGHEST_PROTOCOL)
    stream.write(_HEADER.pack(len(body)) + body)
    stream.flush()
