"""The command line: one thin door.

Each command stands in a module of its own in `commands`, takes its options, calls one function
and says what came of it. Everything heavy is imported inside the command that needs it, so that
`--help` answers at once. Exit codes: 0 all is well, 1 there are errors to mend in the content, 2
the command could not run, 130 interrupted.
"""

import gc
import io
import os
import sys

import click

from stavewright import __version__
from stavewright.commands.build import build
from stavewright.commands.check import check
from stavewright.commands.describe import describe
from stavewright.commands.import_ import import_
from stavewright.commands.language_server import language_server
from stavewright.commands.new import new
from stavewright.commands.options import COULD_NOT_RUN, INTERRUPTED, InOrder
from stavewright.commands.preview import preview
from stavewright.commands.publish import publish
from stavewright.commands.stills import stills
from stavewright.commands.theory import theory

TRACE = "STAVEWRIGHT_TRACE"


@click.group(cls=InOrder, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="stavewright")
def stavewright() -> None:
    """Turn Markdown articles about music theory into a checked, linked site.

    Every musical statement is checked before anyone reads it: labels against the notes under them,
    keys against their spelling, claims in the text against the theory they name.

    \b
    Run it in your project's folder, the one that holds content/:
      stavewright new "Why is it called G sharp?"
      stavewright check
      stavewright preview
      stavewright build
    """


for _command in (
    new,
    theory,
    check,
    build,
    preview,
    language_server,
    describe,
    stills,
    publish,
    import_,
):
    stavewright.add_command(_command)


def main() -> None:
    """Run a command; the one place where exceptions become words and exit codes."""
    _never_fail_to_print()
    try:
        code = stavewright.main(prog_name="stavewright", standalone_mode=False)
        sys.exit(code if isinstance(code, int) else 0)
    except click.exceptions.Abort:
        sys.exit(_interrupted())
    except KeyboardInterrupt:
        sys.exit(_interrupted())
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except BrokenPipeError:
        # The reader of our output (a pager) has left; that is no fault.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except Exception as error:
        sys.exit(_fault(error))
    finally:
        gc.freeze()  # else all that goes now would be searched for circles once more


def _never_fail_to_print() -> None:
    """Show signs that a terminal's encoding lacks, such as ♭ in an old one, as escapes."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _interrupted() -> int:
    click.echo("Interrupted.", err=True)
    return INTERRUPTED


def _fault(error: Exception) -> int:
    from stavewright.site.errors import CannotRunError

    if os.environ.get(TRACE):
        raise error
    if isinstance(error, CannotRunError):
        end = "" if str(error).endswith("?") else "."
        click.echo(f"stavewright: {error}{end}", err=True)
    elif isinstance(error, FileNotFoundError) and error.filename:
        click.echo(f"stavewright: there is no file or folder {error.filename}.", err=True)
    elif isinstance(error, OSError):
        place = f" ({error.filename})" if error.filename else ""
        click.echo(f"stavewright: {error.strerror or error}{place}.", err=True)
    else:
        click.echo(
            f"stavewright: a fault in Stavewright itself{_where(error)}: "
            f"{type(error).__name__}: {error}\n"
            f"Set {TRACE}=1 and run it again to see where it happened.",
            err=True,
        )
    return COULD_NOT_RUN


def _where(error: Exception) -> str:
    notes = getattr(error, "__notes__", [])
    return f", while {notes[0]}" if notes else ""
