"""What a second build says of itself, and how little it loads to find that nothing changed."""

import subprocess
import sys
from pathlib import Path

from tests.cli.running import Command, edit, spawn


def test_a_build_says_what_it_made_again_and_why(project: Path, stavewright: Command) -> None:
    first = stavewright("build", "--explain")
    assert "content/answers/minor.md: it is new\n" in first.out
    edit("content/answers/minor.md", "title: The sixth in minor", "title: Six in minor")
    out = stavewright("build", "--explain").out
    assert out.splitlines()[1:-1] == [
        "content/answers/cadence.md: the pages that mention it changed, or their titles; "
        "the page before or after it changed, or its title",
        "content/answers/minor.md: its text changed",
        "content/index.md: the articles that it lists changed, or their titles",
        "404.html: the articles that it lists changed, or their titles",
        "Made 4 pages and kept 2; read and drew 1 article, "
        "and took any others from earlier builds.",
    ]
    assert "kept 6; read and drew 0 articles" in spawn("build", "--explain", folder=project).stdout


def test_a_build_in_which_nothing_changed_loads_no_parser_rules_or_templates() -> None:
    heavy = "('stavewright.checking', 'stavewright.theory', 'jinja2', 'markdown_it', 'verovio')"
    script = (
        "import sys, stavewright.site.pipeline, stavewright.site.making.workshop\n"
        f"print([name for name in sys.modules if name.startswith({heavy})])"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert ran.stdout == "[]\n"
