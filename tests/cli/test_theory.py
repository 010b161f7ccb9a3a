"""`stavewright theory`: what it prints for people and programs, what it refuses, how it answers.

Each file in `theory/` opens with a command line; what the command prints follows, and a last line
says the exit code where it is not 0. With the environment variable STAVEWRIGHT_REWRITE set, the
tests write what they find in place of what they expect; read the difference before you keep it.
"""

import json
import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from stavewright import cli
from stavewright.checking.check import check_block
from stavewright.checking.claims import check_claim
from stavewright.notation import parse_block
from stavewright.notation.claims import parse_claim
from tests.cli.running import Command, Run

GOLDEN = sorted((Path(__file__).parent / "theory").glob("*.txt"))
PAGE = Path(__file__).parents[2] / "content" / "handbook" / "working-out.md"
ANSWERS = [
    answer for _, answer in re.findall(r"(?ms)^(`{3,})text\n(\$ .*?)^\1$", PAGE.read_text("utf-8"))
]
NOUNS = ["key", "scale", "chord", "interval", "numeral", "name", "beat", "note"]


def transcript(command: str, run: Run) -> str:
    code = f"\n(exit code {run.code})\n" if run.code else ""
    return f"$ {command}\n{run.out}{run.err}{code}"


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_what_it_prints(stavewright: Command, path: Path) -> None:
    expected = path.read_text("utf-8")
    command = expected.splitlines()[0].removeprefix("$ ")
    program, *arguments = shlex.split(command)
    assert program == "stavewright"
    found = transcript(command, stavewright(*arguments))
    if os.environ.get("STAVEWRIGHT_REWRITE"):
        path.write_text(found, "utf-8")
    assert found == expected


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_what_it_prints_can_be_pasted(path: Path) -> None:
    text = path.read_text("utf-8")
    for block in re.findall(r"^```music\n(.*?)^```$", text, re.MULTILINE | re.DOTALL):
        assert check_block(parse_block(block)) == ()
    for span in re.findall(r"^`([^`]+)`$", text, re.MULTILINE):
        claim = parse_claim(span)
        assert claim is not None
        assert check_claim(claim) == ()


@pytest.mark.parametrize("shown", ANSWERS, ids=lambda shown: shown.splitlines()[0])
def test_the_handbook_shows_what_it_prints(stavewright: Command, shown: str) -> None:
    command = shown.splitlines()[0].removeprefix("$ ")
    run = stavewright(*shlex.split(command)[1:])
    assert f"$ {command}\n{run.out}{run.err}" == shown


def test_every_command_in_the_handbook_runs(stavewright: Command) -> None:
    asked = re.findall(
        r"(?:^|`)(stavewright theory [^`\n]+)", PAGE.read_text("utf-8"), re.MULTILINE
    )
    assert len(asked) > 10
    for command in asked:
        assert stavewright(*shlex.split(command)[1:]).code == 0


@pytest.mark.parametrize("noun", NOUNS)
def test_every_noun_has_its_goldens_and_an_example_that_runs(
    stavewright: Command, noun: str
) -> None:
    assert any(path.stem.startswith(noun) for path in GOLDEN)
    text = CliRunner().invoke(cli.stavewright, ["theory", noun, "--help"]).output
    examples = re.findall(rf"^    stavewright (theory {noun} .*)$", text, re.MULTILINE)
    assert len(examples) > 1
    for example in examples:
        assert stavewright(*shlex.split(example)).code == 0


def test_help_lists_the_nouns_and_cuts_no_line() -> None:
    text = CliRunner().invoke(cli.stavewright, ["theory", "--help"]).output
    listed = text.split("Commands:")[1]
    assert re.findall(r"^  (\w+)  ", listed, re.MULTILINE) == NOUNS
    assert "..." not in listed


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (["key", "D# major"], ["key", "D#", "major"]),
        (["numeral", "V7 in C minor"], ["numeral", "V7", "--key", "C minor"]),
        (["chord", "Am7", "in", "C", "major"], ["chord", "Am7", "--key", "C major"]),
        (["interval", "F4 to D#5"], ["interval", "F4", "D#5"]),
        (["name", "C4", "E4", "G4"], ["name", "C4, E4, G4"]),
        (["name", "C4", "E4", "G4"], ["name", "G4", "C4", "E4", "C4"]),
        (["scale", "D", "dorian"], ["scale", " D  dorian\n"]),
        (["key", "E♭ major"], ["key", "Eb", "major"]),
        (["beat", "the and of two in 4/4"], ["beat", "the", "and", "of", "two", "in", "4/4"]),
    ],
    ids=lambda words: " ".join(words).strip(),
)
def test_two_ways_to_ask_one_question(
    stavewright: Command, one: list[str], other: list[str]
) -> None:
    assert stavewright("theory", *one) == stavewright("theory", *other)


def test_json_holds_what_the_text_holds(stavewright: Command) -> None:
    document = json.loads(stavewright("theory", "key", "D# major", "--format", "json").out)
    text = stavewright("theory", "key", "D# major").out
    assert list(document) == ["question", "rows", "notes", "claim", "block"]
    assert document["claim"] in text
    assert document["block"] in text
    assert {row["name"] for row in document["rows"]} >= {"signature", "notes", "relative"}
    assert all(row["name"] in text for row in document["rows"])


def test_an_error_in_an_option_is_shown_in_the_option(stavewright: Command) -> None:
    run = stavewright("theory", "name", "C4", "E4", "G4", "--key", "A mino")
    assert run.code == 2
    assert run.out == ""
    assert run.err.splitlines()[1:] == ["    A mino", "      ^^^^", "  Try: A minor"]


def test_it_loads_theory_and_no_more() -> None:
    code = (
        "import sys; from stavewright.cli import stavewright as run\n"
        "for question in (['key', 'D# major'], ['scale', 'D dorian'], ['chord', 'C7'],\n"
        "    ['interval', 'A5'], ['numeral', 'V in C major'], ['name', 'C4', 'E4', 'G4'],\n"
        "    ['beat', 'two'], ['note', 'A4']):\n"
        "    run.main(['theory', *question], standalone_mode=False)\n"
        "heavy = ('verovio', 'jinja2', 'markdown_it', 'rich', 'yaml', 'stavewright.notation')\n"
        "print([name for name in heavy if name in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.splitlines()[-1] == "[]"
