"""What can befall a store, told from what SQLite says of it."""

import sqlite3
from enum import Enum, auto


class Fault(Enum):
    """What kind of trouble an error is."""

    DAMAGED = auto()
    """The file is no store of this format, or not any more; another takes its place."""
    MOVED = auto()
    """The file was deleted or moved while in use; another takes its place."""
    BUSY = auto()
    """Another process holds the file and does not let go."""
    FULL = auto()
    """No room for more; what is there can still be read."""
    READ_ONLY = auto()
    """SQLite takes the file for one that may only be read: by its permissions or its disk, or
    because damage to its head says so."""
    REFUSED = auto()
    """It cannot be opened, read or written, and nothing here can change that."""


_FAULTS = {
    sqlite3.SQLITE_FULL: Fault.FULL,
    sqlite3.SQLITE_BUSY: Fault.BUSY,
    sqlite3.SQLITE_LOCKED: Fault.BUSY,
    sqlite3.SQLITE_PROTOCOL: Fault.BUSY,
    sqlite3.SQLITE_READONLY: Fault.READ_ONLY,
    sqlite3.SQLITE_PERM: Fault.REFUSED,
    sqlite3.SQLITE_IOERR: Fault.REFUSED,
    sqlite3.SQLITE_CANTOPEN: Fault.REFUSED,
    sqlite3.SQLITE_NOMEM: Fault.REFUSED,
    sqlite3.SQLITE_NOLFS: Fault.REFUSED,
    sqlite3.SQLITE_AUTH: Fault.REFUSED,
}
_PRIMARY = 0xFF
"""The low byte of SQLite's extended codes is the code they extend (sqlite.org/rescode.html)."""
_MOVED = {sqlite3.SQLITE_READONLY_DBMOVED, sqlite3.SQLITE_IOERR_VNODE}


class ForeignFileError(Exception):
    """The file belongs to somebody else, or everybody may write to it; it is not trusted."""


class DamagedError(Exception):
    """The file is not whole, or was written by another version or another program."""


def fault_of(error: Exception) -> Fault:
    """What kind of trouble an error is; what nobody has a name for is damage."""
    if isinstance(error, OSError | ForeignFileError):
        return Fault.REFUSED
    code = getattr(error, "sqlite_errorcode", None)
    if code in _MOVED:
        return Fault.MOVED
    return Fault.DAMAGED if code is None else _FAULTS.get(code & _PRIMARY, Fault.DAMAGED)
