"""The preview's web application: the newest snapshot over HTTP, and a stream of news about it.

Pages are looked up by name among those of the site; a request's path is never joined to a folder,
so that there is nothing to climb out of. Whom it answers is `guard`'s business.
"""

import json
import mimetypes
from collections.abc import AsyncIterator
from pathlib import Path
from urllib.parse import unquote

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import FileResponse, RedirectResponse, Response, StreamingResponse
from starlette.routing import Route

from stavewright.preview.guard import Guard, KnownHosts
from stavewright.preview.hub import Hub, Word
from stavewright.preview.shown import Answer, Shown

_STATIC = Path(__file__).parent / "static"
_TYPES = {".js": "text/javascript", ".css": "text/css"}
_AGAIN_MILLISECONDS = 500
"""How long a browser waits before it asks again for a stream that broke."""

HEADERS = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    # A built site asks no other host for anything; the preview holds pages to it.
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
        "font-src 'self'; media-src 'self'; connect-src 'self'; object-src 'none'; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
}


def make_app(hub: Hub, shown: Shown, hosts: KnownHosts) -> Starlette:
    """The application that shows what is in the hub."""

    async def events(request: Request) -> Response:
        address = unquote(request.query_params.get("page", "/"))
        return StreamingResponse(
            _stream(hub, address), media_type="text/event-stream", headers=HEADERS
        )

    async def show(request: Request) -> Response:
        # A page may have to be put together first; others need not wait for it.
        return await run_in_threadpool(_respond, shown, request.path_params["path"])

    async def findings(_: Request) -> Response:
        return _response(await run_in_threadpool(shown.findings))

    return Starlette(
        routes=[
            Route("/_preview/events", events),
            Route("/_preview/findings", findings),
            Route("/_preview/{name}", _static),
            Route("/{path:path}", show),
        ],
        middleware=[Middleware(Guard, hosts=hosts)],
    )


async def _stream(hub: Hub, address: str) -> AsyncIterator[str]:
    """Server-sent events (HTML Living Standard, 9.2): an event a build, a comment now and then."""
    yield f"retry: {_AGAIN_MILLISECONDS}\n\n"
    async for heard in hub.listen():
        if heard is Word.QUIET:
            yield ": still here\n\n"
        elif heard is Word.FULL:
            yield "event: full\ndata: \n\n"
        elif not isinstance(heard, Word):
            yield f"event: built\ndata: {json.dumps(heard.news(address))}\n\n"


async def _static(request: Request) -> Response:
    name = str(request.path_params["name"])
    known = {file.name: file for file in _STATIC.iterdir()}
    if name not in known:
        return Response(status_code=404, headers=HEADERS)
    file = known[name]
    return Response(file.read_bytes(), 200, HEADERS, _TYPES[file.suffix])


def _respond(shown: Shown, path: str) -> Response:
    found = shown.at(path)
    if found is None:
        # From the root, so that a path such as `//host` cannot name another host.
        return RedirectResponse(f"/{path.lstrip('/')}/", headers=HEADERS)
    return _response(found)


def _response(answer: Answer) -> Response:
    if isinstance(answer.data, Path):
        return FileResponse(answer.data, headers=HEADERS, media_type=_media_type(answer.name))
    return Response(answer.data, answer.status, HEADERS, _media_type(answer.name))


def _media_type(name: str) -> str:
    # The system's table of types differs from machine to machine; these are the ones pages need.
    known = {**_TYPES, ".svg": "image/svg+xml", ".html": "text/html; charset=utf-8"}
    fonts = {".woff2": "font/woff2", ".woff": "font/woff", ".xml": "application/xml"}
    suffix = Path(name).suffix.lower()
    guess = mimetypes.guess_type(name)[0] or "application/octet-stream"
    return {**known, **fonts}.get(suffix, guess)
