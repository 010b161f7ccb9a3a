"""The preview from end to end: build, serve, watch, build again."""

import socket
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from threading import Event
from types import FrameType

import uvicorn

from stavewright.figures.figure import Engraver
from stavewright.preview.app import make_app
from stavewright.preview.hub import Hub
from stavewright.preview.snapshot import Snapshot, take_snapshot
from stavewright.preview.watch import Watcher
from stavewright.site.content import require_folder
from stavewright.site.errors import PortError
from stavewright.site.pipeline import Options

LOOPBACK = "127.0.0.1"
DEFAULT_PORT = 8570


def open_port(port: int, *, insist: bool) -> socket.socket:
    """A socket on the loopback address: on `port`, or on any free one unless we `insist`."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((LOOPBACK, port))
    except OSError as error:
        if insist:
            listener.close()
            raise PortError(f"port {port} cannot be used ({error.strerror})") from None
        listener.bind((LOOPBACK, 0))
    # From here on a browser that comes before the server is ready waits instead of giving up.
    listener.listen()
    return listener


def serve(
    content: Path,
    options: Options,
    engraver: Engraver,
    listener: socket.socket,
    tell: Callable[[Snapshot], None],
) -> None:
    """Show the site on `listener` until an interrupt; `tell` hears of each build.

    The caller closes the listener. Raises `ContentError` if there is no content folder to watch.
    """
    require_folder(content)
    first_is_built = Event()

    def rebuild() -> None:
        first_is_built.wait()
        snapshot = take_snapshot(hub.snapshot.number + 1, content, options, engraver)
        watcher.watch(snapshot.watched)
        hub.publish(snapshot)
        with suppress(OSError):  # Whoever read our words may have left; browsers are still here.
            tell(snapshot)

    # Watching begins before the first build, so that no change falls between the two.
    watcher = Watcher(rebuild)
    watcher.watch([content])
    watcher.start()
    try:
        hub = Hub(take_snapshot(1, content, options, engraver))
        watcher.watch(hub.snapshot.watched)
        first_is_built.set()
        tell(hub.snapshot)
        config = uvicorn.Config(make_app(hub), log_config=None, timeout_graceful_shutdown=2)
        _Server(config, hub).run(sockets=[listener])
    finally:
        first_is_built.set()
        watcher.stop()


class _Server(uvicorn.Server):
    """A server that ends its endless streams when it is asked to stop."""

    def __init__(self, config: uvicorn.Config, hub: Hub) -> None:
        super().__init__(config)
        self._hub = hub

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        self._hub.close()
        super().handle_exit(sig, frame)
