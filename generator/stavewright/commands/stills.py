"""`stavewright stills`: an article's figures as pictures, clips and sound for its video."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from stavewright.commands.options import COULD_NOT_RUN, FOUND_ERRORS, content_option
from stavewright.commands.telling import progress_bar

if TYPE_CHECKING:
    from collections.abc import Callable

    from stavewright.figures.stills import Frame
    from stavewright.site.stills import Made

_Value = TypeVar("_Value")


def _size(_: click.Context, __: click.Parameter, text: str) -> "Frame":
    from stavewright.figures.stills import Frame

    return _read(Frame.parse, text)


def _colour(_: click.Context, __: click.Parameter, text: str) -> str:
    from stavewright.figures.colours import colour

    return _read(colour, text)


def _background(_: click.Context, __: click.Parameter, text: str) -> str | None:
    from stavewright.figures.colours import colour

    return None if text.strip().lower() == "none" else _read(colour, text)


def _read(reader: "Callable[[str], _Value]", text: str) -> "_Value":
    """What a reader makes of an option's text; its complaint becomes a usage error."""
    try:
        return reader(text)
    except ValueError as error:
        raise click.BadParameter(str(error)) from None


@click.command(short_help="Make pictures, clips and sound of figures.")
@click.argument("article", type=click.Path(path_type=Path))
@click.option(
    "--size",
    callback=_size,
    metavar="WIDTHxHEIGHT",
    default="1920x1080",
    show_default=True,
    help="Of the frame, in pixels.",
)
@click.option(
    "--background",
    callback=_background,
    metavar="COLOR",
    default="none",
    show_default=True,
    help="Behind the music; none is transparent.",
)
@click.option(
    "--ink",
    callback=_colour,
    metavar="COLOR",
    default="black",
    show_default=True,
    help="Of the music.",
)
@click.option(
    "--light",
    callback=_colour,
    metavar="COLOR",
    default="#d9480f",
    show_default=True,
    help="Of notes that are lit.",
)
@click.option("--figure", type=click.IntRange(1), help="Only this figure, counted from 1.")
@click.option(
    "--steps", is_flag=True, help="A picture for each event, its notes lit, and their times."
)
@click.option("--sound", is_flag=True, help="The sound of each figure, as WAV.")
@click.option("--clip", is_flag=True, help="A clip with transparency and sound; needs ffmpeg.")
@click.option(
    "--rate",
    type=click.Choice(["24", "25", "30", "50", "60"]),
    default="30",
    show_default=True,
    help="Frames a second of clips.",
)
@click.option(
    "--output",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("stills"),
    show_default=True,
    help="The folder for the files.",
)
@content_option
def stills(
    article: Path,
    size: "Frame",
    background: str | None,
    ink: str,
    light: str,
    figure: int | None,
    steps: bool,
    sound: bool,
    clip: bool,
    rate: str,
    output: Path,
    content: Path,
) -> None:
    """Make pictures, clips and sound of an article's figures for its video.

    Every view becomes a PNG and an SVG that fill the frame, transparent where nothing is drawn. A
    figure with an error in it is left out. Exit code 0: all is made; 1: errors in figures; 2:
    something could not be made.

    \b
    Examples:
      stavewright stills content/answers/g-sharp.md
      stavewright stills content/answers/g-sharp.md --size 1080x1920 --ink white
      stavewright stills content/answers/g-sharp.md --figure 2 --steps --sound
    """
    from stavewright.figures.engraver import Pool
    from stavewright.figures.stills import Look
    from stavewright.site.stills import Order, make_stills

    look = Look(ink, background, light)
    order = Order(size, look, figure, steps, clip, sound, int(rate))
    with Pool() as engraver, progress_bar() as progress:
        made = make_stills(article, content, order, output, engraver, progress)
    _say(made, output)


def _say(made: "Made", output: Path) -> None:
    """Print what was made and what was not; exit where something is missing."""
    from stavewright.site.report import counted, findings_text, lines_of

    if made.findings:
        click.echo(findings_text(made.findings, lines_of(made.texts)))
        click.echo("Figures with errors were left out.\n", err=True)
    for problem in made.problems:
        click.echo(f"stavewright: {problem}", err=True)
    click.echo(f"Wrote {counted(len(made.files), 'file')} to {output}.")
    if made.findings:
        sys.exit(FOUND_ERRORS)
    if made.problems:
        sys.exit(COULD_NOT_RUN)
