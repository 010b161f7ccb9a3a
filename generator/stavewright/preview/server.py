"""The preview from end to end: build, serve, watch, build again."""

import socket
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from types import FrameType

import uvicorn

from stavewright.preview.app import make_app
from stavewright.preview.guard import KnownHosts
from stavewright.preview.hub import Hub
from stavewright.preview.remembered import Remembered
from stavewright.preview.shown import Shown
from stavewright.preview.snapshot import Snapshot
from stavewright.preview.updates import Updates, first_snapshot
from stavewright.preview.watch import Watcher
from stavewright.site.errors import PortError
from stavewright.site.live import LiveSite
from stavewright.site.stages.values import Options, Tools

LOOPBACK = "127.0.0.1"
DEFAULT_PORT = 8570
_WAITING_CONNECTIONS = 1024


def open_port(port: int, *, insist: bool, host: str = LOOPBACK) -> socket.socket:
    """A socket on `host`: on `port`, or on any free one unless we `insist`. Raises `PortError`."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listener = socket.socket(family, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
    except OSError as error:
        try:
            if insist:
                raise
            listener.bind((host, 0))
        except OSError:
            listener.close()
            why = error.strerror or str(error)
            where = f"port {port}" if host == LOOPBACK else f"port {port} of {host}"
            raise PortError(f"{where} cannot be used ({why})") from None
    # From here on a browser that comes before the server is ready waits instead of giving up.
    listener.listen(_WAITING_CONNECTIONS)
    return listener


def serve(
    content: Path,
    options: Options,
    tools: Tools,
    listener: socket.socket,
    tell: Callable[[Snapshot], None],
) -> None:
    """Show the site on `listener` until an interrupt; `tell` hears of each build.

    The content folder need not be there yet: its page comes when it does. The caller closes the
    listener.
    """
    hub = Hub(first_snapshot())
    live = LiveSite(content, options, tools.makers, tools.store)
    memory = Remembered()
    updates = Updates(content, live, hub, memory)

    def look(changed: frozenset[Path] | None) -> None:
        snapshot = updates.look(changed)
        if snapshot.seen is not None:
            watcher.watch(snapshot.seen.watched)
        with suppress(OSError):  # Whoever read our words may have left; browsers are still here.
            tell(snapshot)

    # Watching begins before the first build, so that no change falls between the two.
    watcher = Watcher(look)
    watcher.watch([content])
    watcher.start()
    try:
        host, port = listener.getsockname()[:2]
        app = make_app(hub, Shown(content, live, hub, memory), KnownHosts.of(host, port))
        config = uvicorn.Config(
            app,
            log_config=None,
            lifespan="off",
            timeout_graceful_shutdown=2,
            backlog=_WAITING_CONNECTIONS,
            server_header=False,
        )
        _Server(config, hub).run(sockets=[listener])
    finally:
        watcher.stop()
        live.close()


class _Server(uvicorn.Server):
    """A server that ends its endless streams when it is asked to stop."""

    def __init__(self, config: uvicorn.Config, hub: Hub) -> None:
        super().__init__(config)
        self._hub = hub

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        self._hub.close()
        super().handle_exit(sig, frame)
