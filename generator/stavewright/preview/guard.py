"""Who may ask: browsers that name this server by an address of its own, and pages that it sent.

A page elsewhere can point a name of its own at this machine and have the reader's browser ask here
(DNS rebinding). Its requests name that host, so the Host header must be one we know, port and all.
"""

import ipaddress
from collections.abc import Collection
from dataclasses import dataclass

from starlette.datastructures import Headers
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Receive, Scope, Send

LOOPBACK_NAMES = ("127.0.0.1", "localhost", "[::1]")
_EVERYWHERE = ("0.0.0.0", "[::]")
_HTTP = 80


@dataclass(frozen=True, slots=True)
class KnownHosts:
    """The values of the Host header that are answered."""

    names: Collection[str]
    port: int
    any_number: bool = False
    """Whether every IP address is known; a name, which another may own, never is."""

    @classmethod
    def of(cls, host: str, port: int) -> "KnownHosts":
        """Those of a server that listens on `host`."""
        shown = f"[{host}]" if ":" in host else host
        return cls((*LOOPBACK_NAMES, shown.lower()), port, shown in _EVERYWHERE)

    def knows(self, header: str) -> bool:
        """Whether the whole of a Host header is one of ours."""
        name, port = _parted(header.lower())
        if port != str(self.port) and not (port is None and self.port == _HTTP):
            return False
        return name in self.names or (self.any_number and _is_number(name))


def _parted(header: str) -> tuple[str, str | None]:
    head, colon, port = header.rpartition(":")
    if not colon or header.endswith("]"):
        return header, None
    return head, port


def _is_number(name: str) -> bool:
    try:
        ipaddress.ip_address(name.removeprefix("[").removesuffix("]"))
    except ValueError:
        return False
    return True


class Guard:
    """ASGI middleware that refuses everybody else."""

    def __init__(self, app: ASGIApp, hosts: KnownHosts) -> None:
        self._app = app
        self._hosts = hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or say why not."""
        if scope["type"] == "http":
            headers = Headers(scope=scope)
            hosts = headers.getlist("host")
            if len(hosts) != 1 or not self._hosts.knows(hosts[0]):
                refusal = "The preview answers to the address it was started at, and to no other.\n"
                await PlainTextResponse(refusal, 400)(scope, receive, send)
                return
            if _is_from_elsewhere(headers):
                refusal = "The preview gives nothing to pages of other hosts.\n"
                await PlainTextResponse(refusal, 403)(scope, receive, send)
                return
        await self._app(scope, receive, send)


def _is_from_elsewhere(headers: Headers) -> bool:
    """Whether a page of another host asks, for anything but to be left for ours.

    The headers are those of the Fetch Metadata standard; browsers set them, pages cannot.
    """
    site = headers.get("sec-fetch-site", "none")
    mode = headers.get("sec-fetch-mode", "navigate")
    return site in ("cross-site", "same-site") and mode != "navigate"
