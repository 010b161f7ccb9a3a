"""`stavewright preview`: the live site on the loopback address."""

import webbrowser
from contextlib import suppress
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

import click

from stavewright.commands.options import content_option, store_option, theme_option
from stavewright.commands.telling import building

if TYPE_CHECKING:
    from stavewright.preview.snapshot import Snapshot


@click.command()
@content_option
@theme_option
@store_option
@click.option(
    "--port", type=click.IntRange(1, 65535), help="The port to serve at.  [default: 8570 or free]"
)
@click.option("--open", "opens", is_flag=True, help="Open the site in your browser.")
@click.option(
    "--host",
    metavar="ADDRESS",
    help="Serve at another address of this machine; 0.0.0.0 is all of them.  [default: 127.0.0.1]",
)
def preview(
    content: Path,
    theme: str | None,
    store: str | None,
    port: int | None,
    opens: bool,
    host: str | None,
) -> None:
    """Show the site here, and what changes whenever you save.

    Drafts are shown, and what is wrong is shown in its place. Only this machine can see it, unless
    `--host` says otherwise. Stop it with Ctrl-C.

    \b
    Example:
      stavewright preview --open
    """
    from stavewright.preview.server import DEFAULT_PORT, LOOPBACK, open_port, serve
    from stavewright.site.pipeline import Options

    options = Options(keep_going=True, drafts=True, theme=theme, root="/", places=True)
    host = host or LOOPBACK
    with open_port(port or DEFAULT_PORT, insist=port is not None, host=host) as listener:
        address = _address(host, listener.getsockname()[1])
        _announce(address, host)

        def tell(snapshot: "Snapshot") -> None:
            click.echo(f"  {snapshot.summary}")

        if opens:
            # Some browsers keep whoever starts them waiting.
            Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        with building(content, store=store) as tools, suppress(KeyboardInterrupt):
            serve(content, options, tools, listener, tell)
    click.echo("The preview has stopped.")


def _address(host: str, port: int) -> str:
    own = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(host, host)
    return f"http://[{own}]:{port}/" if ":" in own else f"http://{own}:{port}/"


def _announce(address: str, host: str) -> None:
    click.echo(f"The preview is at {address} (Ctrl-C stops it).")
    if host not in ("127.0.0.1", "localhost", "::1"):
        click.echo(
            f"Warning: at {host} everyone who can reach this machine can read the site, drafts and "
            "all. Leave --host out to keep it to yourself.",
            err=True,
        )
