"""What several commands share: options, the order of lists, exit codes others rely on."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import click

FOUND_ERRORS: Final = 1
COULD_NOT_RUN: Final = 2
INTERRUPTED: Final = 130

Command = Callable[..., Any]


class InOrder(click.Group):
    """Lists commands in the order an author meets them."""

    def list_commands(self, _: click.Context) -> list[str]:
        """The names in the order in which they were added."""
        return list(self.commands)


def content_option(command: Command) -> Command:
    """Add `--content FOLDER`."""
    return click.option(
        "--content",
        type=click.Path(path_type=Path),
        default=Path("content"),
        show_default=True,
        help="The folder with your articles.",
    )(command)


def output_option(command: Command) -> Command:
    """Add `--output FOLDER`."""
    return click.option(
        "--output",
        type=click.Path(path_type=Path),
        default=Path("site"),
        show_default=True,
        help="The folder that becomes the site.",
    )(command)


def theme_option(command: Command) -> Command:
    """Add `--theme NAME`."""
    return click.option("--theme", help="A theme's name or folder, instead of the settings' own.")(
        command
    )


def store_option(command: Command) -> Command:
    """Add `--store FOLDER`; see `stavewright.site.store.store_file` for what it may say."""
    return click.option(
        "--store",
        metavar="FOLDER",
        help="Where what was made is kept for the next time, or `none`.  "
        "[default: STAVEWRIGHT_STORE, else your system's folder for caches]",
    )(command)


def format_option(command: Command) -> Command:
    """Add `--format text|json`, given as `form`."""
    return click.option(
        "--format",
        "form",
        type=click.Choice(["text", "json"]),
        default="text",
        show_default=True,
        help="For people or for programs.",
    )(command)
