"""Access to a store's file that outlives whatever happens to the file.

`attempt` runs an action on the database. What goes wrong costs the action its result and nothing
more: a damaged file is made anew once, a busy one is tried again at the next occasion, a full disk
still lets itself be read, anything else ends the use of the file. The author hears of it once.

Any exception counts, not SQLite's own alone: damage can show itself as an integer out of range, or
as an error whose very message is no UTF-8.
"""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Final, TypeVar

from stavewright.site.store.database import Database, remove
from stavewright.site.store.faults import Fault, fault_of

T = TypeVar("T")

_WORDS: Final = {
    Fault.BUSY: "another program holds it",
    Fault.FULL: "the disk is full",
    Fault.DAMAGED: "it is damaged",
    Fault.MOVED: "it was taken away while in use",
    Fault.READ_ONLY: "it cannot be written",
}


class Access:
    """A database that may be there or not."""

    def __init__(self, path: Path | None) -> None:
        self._path = path
        self._database: Database | None = None
        self._renewed = False
        self.full = False
        """Whether the disk took no more."""
        self.notice: str | None = None
        """What to tell the author, once."""
        self._start()

    @property
    def is_open(self) -> bool:
        """Whether there is anything to read from."""
        return self._database is not None

    def attempt(self, action: Callable[[Database], T]) -> T | None:
        """What the action gives, or None where the file does not let it.

        After the file was made anew the action is tried once more, on the new one.
        """
        for _ in range(2):
            if self._database is None:
                return None
            try:
                return action(self._database)
            except Exception as error:
                if not self._mend(error):
                    return None
        return None

    def close(self) -> None:
        """Let go of the file."""
        if self._database is not None:
            self._database.close()
            self._database = None

    def _start(self) -> None:
        try:
            self._database = Database(self._path)
        except Exception as error:
            self._mend(error)

    def _mend(self, error: Exception) -> bool:
        """Do what can be done about an error; whether there is a new file to try again on."""
        fault = fault_of(error)
        if fault is Fault.READ_ONLY and self._path and os.access(self._path, os.W_OK):
            fault = Fault.DAMAGED
        if fault in (Fault.DAMAGED, Fault.MOVED) and not self._renewed:
            return self._renew()
        if fault is Fault.FULL:
            self.full = True
        if fault is not Fault.FULL or self._database is None:
            self.close()
        self._say(_WORDS.get(fault) or getattr(error, "strerror", None) or str(error))
        return False

    def _renew(self) -> bool:
        self._renewed = True
        self.close()
        if self._path is not None:
            try:
                remove(self._path)
            except OSError as error:
                self._say(f"it is damaged and cannot be replaced: {error.strerror or error}")
                return False
        self._start()
        return self._database is not None

    def _say(self, what: str) -> None:
        if self.notice is None:
            where = f" {self._path}" if self._path is not None else ""
            self.notice = (
                f"The store of earlier work{where} was not used any further: {what}. "
                "The site is not affected; builds take longer until that is mended."
            )
