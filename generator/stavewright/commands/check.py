"""`stavewright check`: findings only."""

import sys
from pathlib import Path

import click

from stavewright.commands.options import FOUND_ERRORS, format_option
from stavewright.commands.telling import say_findings


@click.command()
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--all",
    "every",
    is_flag=True,
    help="Print every finding, also of a file with more than 50. JSON always has all.",
)
@format_option
def check(paths: tuple[Path, ...], form: str, every: bool) -> None:
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
    from stavewright.site.errors import CannotRunError
    from stavewright.site.report import Checked, findings_json

    try:
        report = check_paths(paths)
    except CannotRunError as error:
        if form == "json":
            click.echo(findings_json((), Checked(0, 0, 0), [str(error)]))
        raise
    for problem in report.problems:
        click.echo(f"stavewright: {problem}", err=True)
    if form == "json":
        click.echo(findings_json(report.findings, report.checked, report.problems))
    else:
        say_findings(report.findings, report.line_of, report.checked, every=every)
    if not report.is_clean:
        sys.exit(FOUND_ERRORS)
