"""The preview's web application: the newest snapshot over HTTP, and a stream of news about it.

Pages are looked up by name among the files of a snapshot; a request's path is never joined to a
folder, so that there is nothing to climb out of. Only requests that name this machine by its
loopback address are answered: a page elsewhere cannot point a name of its own here and read along.
"""

import mimetypes
from collections.abc import AsyncIterator
from pathlib import Path

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import FileResponse, RedirectResponse, Response, StreamingResponse
from starlette.routing import Route

from stavewright.preview.hub import Hub
from stavewright.preview.pages import missing_page, problem_page, with_preview
from stavewright.site.addresses import output_path

_HOSTS = ["127.0.0.1", "localhost"]
_STATIC = Path(__file__).parent / "static"
_HTML = "text/html; charset=utf-8"
_HEADERS = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    # A built site asks no other host for anything; the preview holds pages to it.
    "Content-Security-Policy": (
        "default-src 'self'; img-src 'self' data:; style-src 'self' 'unsafe-inline'; "
        "object-src 'none'; base-uri 'none'; frame-ancestors 'none'"
    ),
}


def make_app(hub: Hub) -> Starlette:
    """The application that shows what is in the hub."""

    async def events(_: Request) -> Response:
        return StreamingResponse(_stream(hub), media_type="text/event-stream", headers=_HEADERS)

    async def show(request: Request) -> Response:
        return _answer(hub, request.path_params["path"])

    return Starlette(
        routes=[
            Route("/_preview/events", events),
            Route("/_preview/{name}", _static),
            Route("/{path:path}", show),
        ],
        middleware=[Middleware(TrustedHostMiddleware, allowed_hosts=_HOSTS, www_redirect=False)],
    )


async def _stream(hub: Hub) -> AsyncIterator[str]:
    """Server-sent events (HTML Living Standard, 9.2): an event a build, a comment now and then."""
    async for number in hub.numbers():
        yield ": still here\n\n" if number is None else f"event: built\ndata: {number}\n\n"


async def _static(request: Request) -> Response:
    types = {"reload.js": "text/javascript", "preview.css": "text/css"}
    name = request.path_params["name"]
    if name not in types:
        return Response(status_code=404, headers=_HEADERS)
    return FileResponse(_STATIC / name, media_type=types[name], headers=_HEADERS)


def _answer(hub: Hub, path: str) -> Response:
    snapshot = hub.snapshot
    if snapshot.problem is not None:
        return Response(problem_page(snapshot), 500, _HEADERS, _HTML)
    name = output_path(path)
    data = snapshot.files.get(name)
    if data is None:
        if output_path(f"{path}/") in snapshot.files:
            # From the root, so that a path such as `//host` cannot name another host.
            return RedirectResponse(f"/{path.lstrip('/')}/", headers=_HEADERS)
        return Response(missing_page(path, snapshot), 404, _HEADERS, _HTML)
    if isinstance(data, Path):
        return _file(data)
    if name.endswith(".html"):
        return Response(with_preview(data, name, snapshot), 200, _HEADERS, _HTML)
    return Response(data, 200, _HEADERS, _media_type(name))


def _file(file: Path) -> Response:
    if not file.is_file():
        return Response(status_code=404, headers=_HEADERS)
    return FileResponse(file, headers=_HEADERS, media_type=_media_type(file.name))


def _media_type(name: str) -> str:
    # The system's table of types differs from machine to machine; these are the ones pages need.
    known = {".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml"}
    fonts = {".woff2": "font/woff2", ".woff": "font/woff", ".xml": "application/xml"}
    suffix = Path(name).suffix.lower()
    guess = mimetypes.guess_type(name)[0] or "application/octet-stream"
    return {**known, **fonts}.get(suffix, guess)
