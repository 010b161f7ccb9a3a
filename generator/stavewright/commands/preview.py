"""`stavewright preview`: the live site on the loopback address."""

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stavewright.commands.options import content_option, theme_option

if TYPE_CHECKING:
    from stavewright.preview.snapshot import Snapshot


@click.command()
@content_option
@theme_option
@click.option(
    "--port", type=click.IntRange(1, 65535), help="The port to serve at.  [default: 8570 or free]"
)
def preview(content: Path, theme: str | None, port: int | None) -> None:
    """Show the site here, and again whenever you save.

    Drafts are shown, and what is wrong is shown in its place. Only this machine can see it. Stop it
    with Ctrl-C.

    \b
    Example:
      stavewright preview --port 8000
    """
    from stavewright.figures.engraver import Pool
    from stavewright.preview.server import DEFAULT_PORT, LOOPBACK, open_port, serve
    from stavewright.site.pipeline import Options

    options = Options(keep_going=True, drafts=True, theme=theme, root="/")
    with open_port(port or DEFAULT_PORT, insist=port is not None) as listener:
        address = f"http://{LOOPBACK}:{listener.getsockname()[1]}/"

        def tell(snapshot: "Snapshot") -> None:
            if snapshot.number == 1:
                click.echo(f"The preview is at {address} (Ctrl-C stops it).")
            click.echo(f"  {snapshot.summary}")

        with Pool() as engraver, suppress(KeyboardInterrupt):
            serve(content, options, engraver, listener, tell)
    click.echo("The preview has stopped.")
