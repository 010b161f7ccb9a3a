"""What is shown at each address: a page of the site with what the preview adds, or a file of it."""

import hashlib
import re
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit

from stavewright.preview.errors import with_errors_in_place
from stavewright.preview.findings_page import ADDRESS as FINDINGS
from stavewright.preview.findings_page import TITLE, findings_list
from stavewright.preview.hub import Hub
from stavewright.preview.pages import (
    missing_page,
    own_page,
    problem_page,
    with_preview,
)
from stavewright.preview.remembered import Remembered
from stavewright.preview.snapshot import Snapshot
from stavewright.site.addresses import ASSETS, NOT_FOUND, output_path
from stavewright.site.errors import CannotRunError
from stavewright.site.live import LiveSite

_HTML = ".html"
_SCRIPT = re.compile(r'<script\b[^>]*\bsrc="([^"]+)"')


@dataclass(frozen=True, slots=True)
class Answer:
    """What a browser is given."""

    status: int
    name: str
    """A file name that says of what kind the data is."""
    data: bytes | Path
    """A file is given by its place, which is known to lie in the content folder."""


class Shown:
    """The site as browsers see it; may be asked from any thread."""

    def __init__(self, content: Path, live: LiveSite, hub: Hub, memory: Remembered) -> None:
        self._content = content
        self._live = live
        self._hub = hub
        self._memory = memory
        self._scripts_read: dict[str, bytes] = {}

    def at(self, path: str) -> Answer | None:
        """The answer for a path below the root; None where it lacks its slash at the end."""
        snapshot = self._hub.snapshot
        if snapshot.seen is None:
            return self._page(503, problem_page(snapshot), path, snapshot)
        name = output_path(path)
        if name.endswith(_HTML):
            try:
                html = self._live.page(name)
            except CannotRunError as error:
                broken = Snapshot(snapshot.run, snapshot.number, None, str(error))
                return self._page(500, problem_page(broken), path, broken)
            if html is not None:
                return self._site_page(200, html, name, path, snapshot)
        data = self._live.file(name)
        if data is not None and not (isinstance(data, Path) and self._leads_away(data)):
            return Answer(200, name, data)
        if output_path(f"{path}/") in snapshot.seen.pages:
            return None
        return self._missing(path, snapshot)

    def findings(self) -> Answer:
        """The list of all findings."""
        snapshot = self._hub.snapshot
        page = own_page(TITLE, findings_list(snapshot))
        return self._page(200, page, FINDINGS.lstrip("/"), snapshot)

    def _missing(self, path: str, snapshot: Snapshot) -> Answer:
        try:
            own = self._live.page(NOT_FOUND)
        except CannotRunError:
            own = None
        if own is not None:
            return self._site_page(404, own, NOT_FOUND, path, snapshot)
        return self._page(404, missing_page(f"/{path}"), path, snapshot)

    def _site_page(
        self, status: int, html: bytes, name: str, path: str, snapshot: Snapshot
    ) -> Answer:
        text = with_errors_in_place(html.decode("utf-8"), name, snapshot, self._memory)
        return self._page(status, text, path, snapshot)

    def _page(self, status: int, html: str, path: str, snapshot: Snapshot) -> Answer:
        text = with_preview(html, f"/{path}", snapshot, self._scripts(html, path))
        return Answer(status, f"page{_HTML}", text.encode("utf-8"))

    def _scripts(self, html: str, path: str) -> str:
        """Changes when the site's own scripts in a page hold something else."""
        digest = hashlib.sha256()
        for source in _SCRIPT.findall(html):
            address = urlsplit(urljoin(f"/{path}", source)).path
            digest.update(self._script(unquote(address).lstrip("/")))
        return digest.hexdigest()[:16]

    def _script(self, name: str) -> bytes:
        """What a script holds, or where it lies. The site's own are named after what they hold."""
        known = self._scripts_read.get(name)
        if known is not None:
            return known
        data = self._live.file(name)
        content = data if isinstance(data, bytes) else str(data).encode()
        if data is not None and name.startswith(ASSETS):
            self._scripts_read[name] = content
        return content

    def _leads_away(self, file: Path) -> bool:
        """Whether a file is gone, or was made a link out of the content since it was found."""
        try:
            return not (file.is_file() and file.resolve().is_relative_to(self._content.resolve()))
        except (OSError, RuntimeError):
            return True
