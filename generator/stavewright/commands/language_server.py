"""`stavewright language-server`: what an editor starts to be told of findings as you type."""

import click


@click.command("language-server")
def language_server() -> None:
    """Speak with an editor while you write.

    Your editor starts this, not you: it speaks the Language Server Protocol over standard input and
    output. The handbook's page "In your editor" says what to tell an editor.

    \b
    Example, the command to give to an editor:
      stavewright language-server
    """
    from stavewright.editors.server import serve

    serve()
