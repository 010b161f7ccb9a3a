"""Where a site is published to, as the settings or a command say it: plain values."""

import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from stavewright.articles.yaml_fields import FieldReader
from stavewright.notation.source import Span

_REMOTE: Final = re.compile(r"[^/]*:")
"""A colon before any slash: a host, as rsync reads it."""
_PLACES: Final = {
    "folder": "../public",
    "branch": "pages",
    "rsync": "me@example.org:public_html",
}
"""What `publish` may name, and an example of each."""


@dataclass(frozen=True, slots=True)
class ToFolder:
    """A folder that becomes the site."""

    folder: Path


@dataclass(frozen=True, slots=True)
class ToBranch:
    """A branch of a git repository, each publication a commit."""

    branch: str
    repository: Path | None = None
    """A folder of the repository; None for the one that the content lies in."""
    remote: str | None = None
    """The name of the remote that the branch is then pushed to; None to push nothing."""


@dataclass(frozen=True, slots=True)
class ToRsync:
    """A folder on this or another computer, filled by rsync."""

    destination: str
    """As rsync takes it, such as `me@host:public_html`; see `destination_fault`."""

    @property
    def local(self) -> Path | None:
        """The folder, if it is on this computer."""
        return None if _REMOTE.match(self.destination) else Path(self.destination)


Target = ToFolder | ToBranch | ToRsync


def below(target: Target, content: Path) -> Target:
    """A target of the settings, whose paths are relative to the content folder, as it really is."""
    match target:
        case ToFolder(folder):
            return ToFolder((content / folder).resolve())
        case ToBranch(repository=Path() as repository):
            return replace(target, repository=(content / repository).resolve())
        case ToRsync(local=Path() as local):
            return ToRsync(str((content / local).resolve()))
        case _:
            return target


def has_controls(text: str) -> bool:
    """Whether a text has signs that end lines and lists, or command a terminal."""
    return any(ord(letter) < 32 or ord(letter) == 127 for letter in text)


def destination_fault(destination: str) -> str | None:
    """Why rsync shall not be given this destination; None if it may have it.

    What begins with `-` would be taken for an option, by rsync or by the ssh that it starts.
    """
    host = destination.partition(":")[0] if _REMOTE.match(destination) else ""
    if not destination.strip() or has_controls(destination):
        return "a destination for rsync is a folder, or a host, a colon and a folder there"
    if destination.startswith("-") or host.startswith("-") or "@-" in host:
        return "a destination for rsync does not begin with `-`, nor does the name of its host"
    return None


def read_target(fields: FieldReader) -> Target | None:
    """The target that `publish` names among the settings; paths are as they are written there."""
    publish = fields.group("publish", "folder")
    if publish is None:
        return None
    target = _target(publish)
    fields.findings.extend(publish.finish())
    return target


def _target(publish: FieldReader) -> Target | None:
    # Each is asked for, so that what is known is whole when a name is not.
    written = [place for place in _PLACES if publish.optional_text(place) is not None]
    written.sort(key=lambda place: _where(publish.span(place)))
    repository, remote = publish.optional_text("repository"), _remote(publish)
    place, *others = written or ["folder"]
    text = publish.required_text(place, _PLACES[place])
    for other in others:
        words = f"`publish` names one place, and this is a second beside `{place}`"
        publish.fault(publish.span(other), words)
    for name in ("repository", "push"):
        if publish.has(name) and place != "branch":
            publish.fault(publish.span(name), f"`publish.{name}` goes with `publish.branch`")
    if not text or others:
        return None
    match place:
        case "branch":
            return ToBranch(text, Path(repository) if repository else None, remote)
        case "rsync":
            return _rsync(publish, text)
        case _:
            return ToFolder(Path(text))


def _where(span: Span) -> tuple[int, int]:
    return span.line, span.column


def _rsync(publish: FieldReader, destination: str) -> ToRsync | None:
    fault = destination_fault(destination)
    if fault is not None:
        publish.fault(publish.span("rsync"), fault)
        return None
    return ToRsync(destination)


def _remote(publish: FieldReader) -> str | None:
    remote = publish.optional_text("push")
    if remote is None or remote.lower() in {"false", "no"}:
        # Written as an answer, it is one.
        return None
    if remote.lower() in {"", "true", "yes"}:
        words = "`publish.push` is the name of the remote to push the branch to"
        publish.fault(publish.span("push"), words, "origin")
        return None
    return remote
