"""From changes on the disk to the next snapshot."""

import gc
import os
import secrets
import traceback
from collections.abc import Collection, Iterable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from time import sleep

from stavewright.preview.errors import note_figures
from stavewright.preview.hub import Hub
from stavewright.preview.moves import moved_pages
from stavewright.preview.remembered import Remembered
from stavewright.preview.snapshot import Edited, Snapshot
from stavewright.site.addresses import output_path
from stavewright.site.content import MARKDOWN, Source, shown_name
from stavewright.site.errors import CannotRunError
from stavewright.site.live import LiveSite, Refreshed

_MOST_LOOKED_AT = 5
"""Articles whose figures are noted before a change; more change at once only by other hands."""
_MOST_FILES = 200
_GIVE_WAY = 0.03
"""Seconds in which pages are sent before anything else is done."""

_Texts = Mapping[str, tuple[str, ...]]


def first_snapshot() -> Snapshot:
    """What is shown before the first build."""
    return Snapshot(run=secrets.token_hex(4), number=0, seen=None)


class Updates:
    """Makes snapshots, one after the other; one thread at a time."""

    def __init__(self, content: Path, live: LiveSite, hub: Hub, memory: Remembered) -> None:
        self._content = content
        self._live = live
        self._hub = hub
        self._memory = memory
        self._is_behind = True
        self._noted: set[str] = set()

    def look(self, changed: Collection[Path] | None) -> Snapshot:
        """Look at the disk again and publish what came of it; None where all may have changed.

        Whatever goes wrong becomes the snapshot's problem.
        """
        before = self._hub.snapshot
        self._note_figures(changed, before, once=True)
        try:
            # After a failure the site does not know what it missed.
            seen = self._live.refresh(None if self._is_behind else changed)
        except (CannotRunError, OSError) as error:
            snapshot = self._without_site(before, str(error))
        except Exception as error:  # The preview outlives even our own mistakes.
            if os.environ.get("STAVEWRIGHT_TRACE"):
                traceback.print_exc()
            place = "".join(f", while {note}" for note in getattr(error, "__notes__", []))
            problem = f"a fault in Stavewright itself{place}: {type(error).__name__}: {error}"
            snapshot = self._without_site(before, problem)
        else:
            texts = self._read(before, seen, None if self._is_behind else changed)
            self._is_behind = False
            snapshot = self._with_site(before, seen, texts, changed or ())
        self._make_ready(snapshot)
        self._hub.publish(snapshot)
        if changed is None:
            # What a site of thousands is made of stays; looking through it for garbage at every
            # save would take as long as the rest.
            gc.collect()
            gc.freeze()
        # Browsers ask now, and two threads take turns of 5 ms; what follows can wait.
        sleep(_GIVE_WAY)
        self._note_figures(changed, snapshot)
        return snapshot

    def _without_site(self, before: Snapshot, problem: str) -> Snapshot:
        self._is_behind = True
        number = before.number + 1
        edited, files, texts = before.edited, before.files, before.texts
        return Snapshot(before.run, number, None, problem, number, edited, files, texts)

    def _with_site(
        self, before: Snapshot, seen: Refreshed, texts: _Texts, changed: Collection[Path]
    ) -> Snapshot:
        number = before.number + 1
        same = before.seen is not None and before.findings == seen.findings
        files = {**before.files, **dict.fromkeys(self._addresses(changed), number)}
        return Snapshot(
            run=before.run,
            number=number,
            seen=seen,
            found_at=before.found_at if same else number,
            edited=_edited(before, seen, texts, changed, number) or before.edited,
            files=dict(list(files.items())[-_MOST_FILES:]),
            texts=texts,
            moved=moved_pages(before, seen, texts),
        )

    def _read(self, before: Snapshot, seen: Refreshed, changed: Collection[Path] | None) -> _Texts:
        """The articles' lines: those that changed, or all, are read again."""
        names = set(seen.sources.values())
        if changed is not None and before.texts:
            names &= {shown_name(path) for path in changed} | (names - before.texts.keys())
        kept = {name: lines for name, lines in before.texts.items() if name not in names}
        return {**kept, **{name: lines for name in names if (lines := _lines(name))}}

    def _addresses(self, changed: Iterable[Path]) -> list[str]:
        """Addresses of changed files that are copied into the site as they are."""
        content = self._content.absolute()
        return [
            f"/{path.relative_to(content).as_posix()}"
            for path in changed
            if path.is_relative_to(content) and path.suffix.lower() != MARKDOWN
        ]

    def _make_ready(self, snapshot: Snapshot) -> None:
        """Put the page together that will be asked for at once, before two ask for it together."""
        edited = snapshot.edited
        if snapshot.seen is not None and edited is not None and edited.build == snapshot.build:
            with suppress(CannotRunError):
                self._live.page(output_path(edited.address.lstrip("/")))

    def _note_figures(
        self, changed: Collection[Path] | None, snapshot: Snapshot, *, once: bool = False
    ) -> None:
        """Remember the figures of articles that the author works on, seen by anyone or not.

        What was noted after one build need not be noted again before the next.
        """
        if not changed or snapshot.seen is None:
            return
        files = {shown_name(path) for path in changed if path.suffix.lower() == MARKDOWN}
        if len(files) > _MOST_LOOKED_AT:
            return
        for path, file in snapshot.seen.sources.items():
            if file in files and not (once and file in self._noted):
                self._note_page(path, snapshot)
                self._noted.add(file)

    def _note_page(self, path: str, snapshot: Snapshot) -> None:
        with suppress(CannotRunError):
            page = self._live.page(path)
            if page is not None:
                note_figures(page.decode("utf-8"), path, snapshot, self._memory)


def _lines(name: str) -> tuple[str, ...] | None:
    try:
        data = Path(name).read_bytes()
    except OSError:
        return None
    return tuple(Source(name, name, data).text.split("\n"))


def _edited(
    before: Snapshot,
    seen: Refreshed,
    texts: _Texts,
    changed: Collection[Path],
    number: int,
) -> Edited | None:
    """The article that was saved last, where its text differs from the one before."""
    written = [path for path in changed if path.suffix.lower() == MARKDOWN]
    for path in sorted(written, key=_saved_at, reverse=True):
        file = shown_name(path)
        page = next((page for page, source in seen.sources.items() if source == file), None)
        old, new = before.texts.get(file, ()), texts.get(file, ())
        if page is not None and old != new:
            address = f"/{page.removesuffix('index.html')}"
            return Edited(f"{before.run}-{number}", address, _first_difference(old, new))
    return None


def _saved_at(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except OSError:
        return 0.0


def _first_difference(old: Sequence[str], new: Sequence[str]) -> int:
    """The line, from 1, up to which two texts are the same."""
    pairs = zip(old, new, strict=False)
    same = next((index for index, (one, other) in enumerate(pairs) if one != other), None)
    return (min(len(old), len(new)) if same is None else same) + 1
