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
    REFUSED = auto()
    """It cannot be opened, read or written, and nothing here can change that."""


_FULL = {sqlite3.SQLITE_FULL}
_BUSY = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_PROTOCOL}
_REFUSED = {
    sqlite3.SQLITE_PERM,
    sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_NOMEM,
    sqlite3.SQLITE_NOLFS,
    sqlite3.SQLITE_AUTH,
}
_PRIMARY = 0xFF
"""The low byte of SQLite's extended codes is the code they extend (sqlite.org/rescode.html)."""
_MOVED = {sqlite3.SQLITE_READONLY_DBMOVED, sqlite3.SQLITE_IOERR_VNODE}


class ForeignFileError(Exception):
    """The file belongs to somebody else, or everybody may write to it; it is not trusted."""


class OtherFormatError(Exception):
    """The file was written by another version, or by another program."""


def fault_of(error: Exception) -> Fault:
    """What kind of trouble an error is; what nobody has a name for is damage."""
    if isinstance(error, OSError | ForeignFileError):
        return Fault.REFUSED
    code = getattr(error, "sqlite_errorcode", None)
    if code is None:
        return Fault.DAMAGED
    if code in _MOVED:
        return Fault.MOVED
    primary = code & _PRIMARY
    for fault, codes in ((Fault.FULL, _FULL), (Fault.BUSY, _BUSY), (Fault.REFUSED, _REFUSED)):
        if primary in codes:
            return fault
    return Fault.DAMAGED
