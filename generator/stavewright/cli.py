"""The command line: one thin door.

Each command takes its options, calls one function and says what came of it. Everything heavy is
imported inside the command that needs it, so that `--help` answers at once. Exit codes: 0 all is
well, 1 there are errors to mend in the content, 2 the command could not run, 130 interrupted.
"""

import io
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from stavewright import __version__

if TYPE_CHECKING:
    from stavewright.notation.finding import Finding
    from stavewright.preview.snapshot import Snapshot
    from stavewright.site.pipeline import BuildReport
    from stavewright.site.progress import Progress
    from stavewright.site.report import Checked, LineOf

FOUND_ERRORS = 1
COULD_NOT_RUN = 2
INTERRUPTED = 130
TRACE = "STAVEWRIGHT_TRACE"

Command = Callable[..., Any]


def _content_option(command: Command) -> Command:
    return click.option(
        "--content",
        type=click.Path(path_type=Path),
        default=Path("content"),
        show_default=True,
        help="The folder with your articles.",
    )(command)


def _output_option(command: Command) -> Command:
    return click.option(
        "--output",
        type=click.Path(path_type=Path),
        default=Path("site"),
        show_default=True,
        help="The folder that becomes the site.",
    )(command)


def _theme_option(command: Command) -> Command:
    return click.option("--theme", help="A theme's name or folder, instead of the settings' own.")(
        command
    )


class _InOrder(click.Group):
    """Lists commands in the order an author meets them."""

    def list_commands(self, _: click.Context) -> list[str]:
        """The names in the order of this file."""
        return list(self.commands)


@click.group(cls=_InOrder, context_settings={"help_option_names": ["-h", "--help"]})
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


@stavewright.command()
@click.argument("article")
@_content_option
def new(article: str, content: Path) -> None:
    """Start an article, named by its title or its path.

    Front matter and a first music block are filled in. The article begins as a draft: the preview
    shows it, a build leaves it out until you take the line `draft: true` away.

    \b
    Examples:
      stavewright new "Why is it called G sharp?"
      stavewright new answers/g-sharp.md
    """
    from datetime import date

    from stavewright.site.new import start_article

    path = start_article(article, content, date.today())
    click.echo(f"Started {path}. See it with `stavewright preview`.")


@stavewright.command()
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="For people or for programs.",
)
def check(paths: tuple[Path, ...], form: str) -> None:
    """Check articles and say what is found.

    Nothing is written.

    PATHS are Markdown files or folders of them, with or without a site around; without any it
    checks content/. Exit code 0: nothing worse than a warning; 1: errors; 2: could not run.

    \b
    Examples:
      stavewright check
      stavewright check content/answers/g-sharp.md
      stavewright check --format json notes/
    """
    from stavewright.site.check import check_paths
    from stavewright.site.report import findings_json

    report = check_paths(paths)
    for problem in report.problems:
        click.echo(f"stavewright: {problem}", err=True)
    if form == "json":
        click.echo(findings_json(report.findings, report.checked))
    else:
        _say_findings(report.findings, report.line_of, report.checked)
    if not report.is_clean:
        sys.exit(FOUND_ERRORS)


@stavewright.command()
@_content_option
@_output_option
@_theme_option
@click.option(
    "--keep-going", is_flag=True, help="Build the rest in spite of errors, and show them."
)
@click.option("--drafts", is_flag=True, help="Build drafts as well.")
@click.option("--workers", type=click.IntRange(1, 64), help="Processes that engrave.")
def build(
    content: Path,
    output: Path,
    theme: str | None,
    keep_going: bool,
    drafts: bool,
    workers: int | None,
) -> None:
    """Check, engrave and write the site.

    The site is replaced whole or not at all: while there are errors, the last good one stays.

    \b
    Examples:
      stavewright build
      stavewright build --keep-going --drafts --output look
    """
    from stavewright.figures.engraver import Pool
    from stavewright.site.pipeline import Options
    from stavewright.site.pipeline import build as build_site

    options = Options(keep_going=keep_going, drafts=drafts, theme=theme)
    with Pool(workers) as engraver, _progress() as progress:
        report = build_site(content, output, options, engraver, progress)
    _say_build(report, output)


@stavewright.command()
@_content_option
@_theme_option
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


@stavewright.command()
@click.argument("article", type=click.Path(path_type=Path))
@_content_option
def describe(article: Path, content: Path) -> None:
    """Print the text for an article's video description.

    Summary, chapters from 0:00, addresses of the article and its sections, credits and what must be
    disclosed, within the length that the settings allow.

    \b
    Example:
      stavewright describe content/answers/g-sharp.md
    """
    from stavewright.site.describing import describe_article

    description = describe_article(article, content)
    for part in description.omitted:
        click.echo(f"Left out to keep within the length: {part}.", err=True)
    click.echo(description.text)


@stavewright.command()
@_content_option
@_theme_option
@click.option(
    "--folder", type=click.Path(path_type=Path), help="Where to, instead of the settings' folder."
)
def publish(content: Path, theme: str | None, folder: Path | None) -> None:
    """Build the site and put it where readers find it.

    A build with errors is not published, and drafts never are.

    The target is replaced whole or not at all, and only if it is empty or an earlier publication.

    \b
    Example, with `publish: {folder: ../public}` in content/site.yaml:
      stavewright publish
    """
    from stavewright.figures.engraver import Pool
    from stavewright.site.publish import publish_site

    with Pool() as engraver, _progress() as progress:
        report, target = publish_site(content, folder, theme, engraver, progress)
    _say_build(report, target)


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
        click.echo(f"stavewright: {error}.", err=True)
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


def _colour() -> bool:
    """Whether to colour what goes to standard output (no-color.org)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def _say_findings(findings: "tuple[Finding, ...]", line_of: "LineOf", checked: "Checked") -> None:
    from stavewright.site.report import findings_text, summary_text

    if findings:
        click.echo(findings_text(findings, line_of, colour=_colour()), color=True)
        click.echo()
    click.echo(summary_text(findings, checked))


def _say_build(report: "BuildReport", output: Path) -> None:
    _say_findings(report.findings, report.line_of, report.checked)
    if report.written:
        click.echo(f"Wrote {report.pages} pages to {output}.")
    else:
        click.echo(f"Nothing was written; {output} is as it was.", err=True)
    if report.has_errors:
        sys.exit(FOUND_ERRORS)


@contextmanager
def _progress() -> "Iterator[Progress]":
    """A bar on a terminal; nothing where the output goes to a file or another program."""
    from stavewright.site.progress import Silent

    if not sys.stderr.isatty():
        yield Silent()
        return
    from stavewright.site.progress_bar import ProgressBar

    with ProgressBar() as bar:
        yield bar
