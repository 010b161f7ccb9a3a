"""`stavewright import`: an excerpt of a score as a music block."""

from pathlib import Path

import click


@click.command("import", short_help="Turn MusicXML or MEI into a music block.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--bars", metavar="FIRST-LAST", help="The bars, as printed: 3-5, or 7 alone.")
@click.option(
    "--staff",
    "staves",
    multiple=True,
    metavar="NAME",
    help="A staff by its name or its number from the top; may be given again.",
)
@click.option("--bare", is_flag=True, help="The block alone, without the fence around it.")
@click.option("--comments", is_flag=True, help="List what is left out in the block as well.")
def import_(
    file: Path, bars: str | None, staves: tuple[str, ...], bare: bool, comments: bool
) -> None:
    """Turn an excerpt of MusicXML or MEI into a music block, ready to paste.

    Reads .musicxml, .xml, .mxl and .mei. The block goes to standard output; what the file holds and
    a block cannot say is listed beside it. Without --bars all bars are taken, without --staff all
    staves.

    \b
    Examples:
      stavewright import quartet.mxl --bars 3-5
      stavewright import song.mei --bars 0-4 --staff voice --staff left
    """
    from stavewright.importing import CannotImportError, import_excerpt
    from stavewright.site.errors import CannotRunError

    try:
        found = import_excerpt(file.read_bytes(), bars, staves)
    except CannotImportError as error:
        raise CannotRunError(f"{file}: {error}") from error
    rows = [found.text]
    if comments:
        rows += [f"// not carried over: {line}" for line in found.left]
    text = "\n".join(rows)
    click.echo(text if bare else f"```music\n{text}\n```")
    for line in found.left:
        click.echo(f"Not carried over: {line}.", err=True)
    if found.quotes:
        click.echo(
            "The credits came along. How much of another's music may be quoted depends on the law "
            "where you publish; this is no legal advice.",
            err=True,
        )
