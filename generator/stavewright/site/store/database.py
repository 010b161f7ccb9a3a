"""The SQLite file behind a store: its format, and the few questions that are asked of it.

Two tables, so that noting that an entry was used never moves the value that belongs to it. Writing
goes through the write-ahead log without waiting for the disk: a process that is killed loses what
it had not committed, a power cut may damage the file, and a damaged file is made anew. Nothing here
catches anything; `access.py` decides what an error means.
"""

import os
import sqlite3
import stat
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stavewright.site.store.faults import DamagedError, ForeignFileError

FORMAT: Final = 1
"""Goes up with every change of the tables or of the seal; other formats are thrown away."""
_APPLICATION: Final = 0x53745772
_WAIT: Final = 2.0
"""Seconds to wait for another process to finish its transaction; they are short."""
_LONGEST: Final = 1 << 29
"""Bytes of the longest value SQLite may read, 512 MB, whatever a damaged file claims."""
_ASKED_AT_ONCE: Final = 500
_MEMORY: Final = ":memory:"

_TABLES: Final = """
    CREATE TABLE head (name TEXT PRIMARY KEY, value INTEGER NOT NULL) WITHOUT ROWID;
    CREATE TABLE entries (
        name BLOB PRIMARY KEY, id INTEGER NOT NULL, run INTEGER NOT NULL, size INTEGER NOT NULL
    ) WITHOUT ROWID;
    CREATE TABLE kept (id INTEGER PRIMARY KEY, value BLOB NOT NULL);
    INSERT INTO head VALUES ('run', 0);
"""


@dataclass(frozen=True, slots=True)
class Found:
    """An entry as it lies in the file."""

    value: object
    """Sealed bytes, unless the file is damaged."""
    run: int
    """When it was last used, as far as was noted."""


class Database:
    """An open store file. Methods raise `sqlite3.Error`."""

    def __init__(self, path: Path | None) -> None:
        """Open or make the file; None for one in memory.

        Raises `ForeignFileError`, `DamagedError`, `OSError`, `sqlite3.Error`.
        """
        if path is not None:
            _prepare(path)
        self._connection = sqlite3.connect(
            path or _MEMORY, timeout=_WAIT, isolation_level=None, check_same_thread=False
        )
        try:
            self._settle()
            self.run = self._next_run()
        except BaseException:
            self.close()
            raise

    def find(self, names: Sequence[bytes]) -> dict[bytes, Found]:
        """The entries of these names that are there."""
        found = {}
        for start in range(0, len(names), _ASKED_AT_ONCE):
            part = names[start : start + _ASKED_AT_ONCE]
            rows = self._connection.execute(
                # CROSS JOIN, because it tells SQLite which table to go through first.
                "SELECT name, value, run FROM entries CROSS JOIN kept USING (id) "
                f"WHERE name IN ({', '.join('?' * len(part))})",
                part,
            )
            found.update({name: Found(value, run) for name, value, run in rows})
        return found

    def keep(self, values: Mapping[bytes, bytes], used: Iterable[bytes]) -> bool:
        """Write sealed values, and note that others were used; all or nothing. Gives True."""
        with self._transaction() as connection:
            for name, value in values.items():
                self._drop(connection.execute("SELECT id FROM entries WHERE name = ?", (name,)))
                new = connection.execute("INSERT INTO kept (value) VALUES (?)", (value,)).lastrowid
                connection.execute(
                    "INSERT OR REPLACE INTO entries VALUES (?, ?, ?, ?)",
                    (name, new, self.run, len(value)),
                )
            connection.executemany(
                "UPDATE entries SET run = ? WHERE name = ?", ((self.run, name) for name in used)
            )
        return True

    def forget(self, before: int, most: int) -> None:
        """Delete what was last used before a run, then the longest unused beyond `most` bytes."""
        with self._transaction() as connection:
            self._drop(connection.execute("SELECT id FROM entries WHERE run < ?", (before,)))
            connection.execute("DELETE FROM entries WHERE run < ?", (before,))
            over = connection.execute("SELECT sum(size) FROM entries").fetchone()[0] or 0
            if over > most:
                self._forget_oldest(connection, over - most * 3 // 4)
        # Gives back to the disk what is free; without a limit it would move the whole file at once.
        self._connection.execute("PRAGMA incremental_vacuum(4096)").fetchall()

    def verify(self) -> bool:
        """Go through the whole file. Raises `DamagedError` where its parts do not fit; gives True.

        A value with flipped bits in it does not count; the seals find those.
        """
        (verdict,) = self._connection.execute("PRAGMA quick_check(1)").fetchone()
        if verdict != "ok":
            raise DamagedError(verdict)
        return True

    def close(self) -> None:
        """Close the file, whatever state it is in."""
        with suppress(sqlite3.Error):
            self._connection.close()

    def _settle(self) -> None:
        connection = self._connection
        connection.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, _LONGEST)
        # What SQLite's own advice on files that may be damaged asks for (sqlite.org/security.html).
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute("PRAGMA cell_size_check = ON")
        connection.execute("PRAGMA page_size = 8192")
        connection.execute("PRAGMA auto_vacuum = INCREMENTAL")
        connection.execute("PRAGMA journal_mode = WAL").fetchone()
        connection.execute("PRAGMA synchronous = OFF")
        with self._transaction():
            application, form = self._pragma("application_id"), self._pragma("user_version")
            if not application and not form and not self._pragma("schema_version"):
                for statement in _TABLES.split(";"):
                    connection.execute(statement)
                connection.execute(f"PRAGMA application_id = {_APPLICATION}")
                connection.execute(f"PRAGMA user_version = {FORMAT}")
            elif (application, form) != (_APPLICATION, FORMAT):
                raise DamagedError("another format")

    def _pragma(self, name: str) -> int:
        return int(self._connection.execute(f"PRAGMA {name}").fetchone()[0])

    def _next_run(self) -> int:
        with self._transaction() as connection:
            connection.execute("UPDATE head SET value = value + 1 WHERE name = 'run'")
            row = connection.execute("SELECT value FROM head WHERE name = 'run'").fetchone()
        return int(row[0])

    def _drop(self, ids: Iterable[tuple[int]]) -> None:
        self._connection.executemany("DELETE FROM kept WHERE id = ?", list(ids))

    def _forget_oldest(self, connection: sqlite3.Connection, amount: int) -> None:
        gone = []
        for name, kept, size in connection.execute(
            "SELECT name, id, size FROM entries ORDER BY run, id"
        ):
            if amount <= 0:
                break
            gone.append((name, kept))
            amount -= size
        self._drop([(kept,) for _, kept in gone])
        connection.executemany("DELETE FROM entries WHERE name = ?", [(name,) for name, _ in gone])

    @contextmanager
    def _transaction(self) -> Iterator[sqlite3.Connection]:
        self._connection.execute("BEGIN IMMEDIATE")
        try:
            yield self._connection
            self._connection.execute("COMMIT")
        except BaseException:
            # After a full disk SQLite may have rolled back by itself, and then says so here.
            with suppress(sqlite3.Error):
                self._connection.execute("ROLLBACK")
            raise


def remove(path: Path) -> None:
    """Delete a store and what SQLite keeps beside it. Raises `OSError`.

    The store first: SQLite ignores the log of an empty file, so being killed half way is no harm.
    """
    for name in (path, path.with_name(f"{path.name}-wal"), path.with_name(f"{path.name}-shm")):
        name.unlink(missing_ok=True)


def _prepare(path: Path) -> None:
    """See to it that there is a file, and that nobody else could have written it."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    # Only ever made here, never opened: closing a second handle would drop SQLite's POSIX locks.
    with suppress(FileExistsError):
        os.close(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
    status = path.lstat()
    if not stat.S_ISREG(status.st_mode):
        raise ForeignFileError(f"{path} is not a plain file")
    if hasattr(os, "getuid") and status.st_uid != os.getuid():
        raise ForeignFileError(f"{path} belongs to another user")
    if os.name == "posix" and status.st_mode & (stat.S_IWGRP | stat.S_IWOTH):
        raise ForeignFileError(f"others may write to {path}")
