"""The command line: what it prints, and the exit codes others rely on."""

import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from stavewright import __version__, cli
from stavewright.site import check as check_module
from tests.cli.running import Command, Run, edit, spawn

COMMANDS = [
    "new",
    "theory",
    "check",
    "build",
    "preview",
    "language-server",
    "describe",
    "stills",
    "publish",
    "import",
]


def test_help_lists_the_commands_in_the_order_of_the_work() -> None:
    text = CliRunner().invoke(cli.stavewright, ["--help"]).output
    listed = re.findall(r"^  ([\w-]+)  ", text.split("Commands:")[1], re.MULTILINE)
    assert listed == COMMANDS
    assert "..." not in text.split("Commands:")[1]


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_teaches_with_an_example(command: str) -> None:
    result = CliRunner().invoke(cli.stavewright, [command, "--help"])
    assert result.exit_code == 0
    assert f"stavewright {command}" in result.output.split("Example")[1]


def test_the_version(stavewright: Command) -> None:
    assert stavewright("--version").out == f"stavewright, version {__version__}\n"


def test_help_loads_nothing_heavy() -> None:
    heavy = ("verovio", "jinja2", "markdown_it", "rich", "starlette", "uvicorn", "yaml")
    code = f"import stavewright.cli, sys; print([m for m in {heavy} if m in sys.modules])"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout == "[]\n"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["check", "nowhere.md"], "there is no file or folder nowhere.md"),
        (["check", "content/nowhere.md"], "there is no file or folder content/nowhere.md"),
        (["build", "--content", "nowhere"], "there is no content folder nowhere"),
        (["build", "--output", "content"], "the output content lies inside content"),
        (["build", "--theme", "quyre"], "did you mean `quire`"),
        (["describe", "nowhere.md"], "there is no article nowhere.md in content"),
        (["describe", "answers/minr.md"], "did you mean content/answers/minor.md?\n"),
        (["describe", "nope.md"], "there is no article nope.md in content."),
        (["import", "nowhere.mei"], "there is no file or folder nowhere.mei."),
        (["publish", "--folder", "theme"], "the output theme lies inside"),
        (["new", "..."], "no file name can be made from the title '...'"),
        (["new", "../outside.md"], "lies outside the content folder"),
        (["new", "answers/minor.md"], "exists already, and is left as it is"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
@pytest.mark.usefixtures("project")
def test_what_cannot_run_is_exit_code_2_and_one_message(
    stavewright: Command, arguments: list[str], said: str
) -> None:
    run = stavewright(*arguments)
    assert run.code == 2
    assert run.out == ""
    assert run.err.startswith("stavewright: ")
    assert said in run.err
    assert run.err.count("\n") == 1


@pytest.mark.parametrize("arguments", [["chekc"], ["check", "--format", "xml"], ["build", "x"]])
def test_a_wrong_command_line_is_exit_code_2(stavewright: Command, arguments: list[str]) -> None:
    run = stavewright(*arguments)
    assert run.code == 2
    assert run.err.startswith("Usage: stavewright")


def test_a_new_article_checks_clean_and_is_never_written_over(
    stavewright: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    run = stavewright("new", 'Why "G#", not A♭?')
    path = Path("content/why-g-sharp-not-a-flat.md")
    assert run.out.startswith(f"Started {path}.")
    assert 'title: "Why \\"G#\\", not A♭?"' in path.read_text("utf-8")
    clean = stavewright("check")
    assert clean == Run(0, "Checked 1 article, 1 music block, 2 claims: nothing found.\n", "")
    path.write_text("mine")
    assert stavewright("new", 'Why "G#", not A♭?').code == 2
    assert path.read_text() == "mine"


@pytest.mark.parametrize(
    ("name", "path", "title"),
    [
        ("answers/leading-tone", "content/answers/leading-tone.md", "Leading tone"),
        ("answers/leading-tone.md", "content/answers/leading-tone.md", "Leading tone"),
        ("content/leading-tone.md", "content/leading-tone.md", "Leading tone"),
        ("6/8 or 3/4?", "content/6-8-or-3-4.md", "6/8 or 3/4?"),
    ],
)
def test_a_new_article_by_path_or_title(
    stavewright: Command,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    name: str,
    path: str,
    title: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert stavewright("new", name).code == 0
    assert f'title: "{title}"\n' in Path(path).read_text("utf-8")


@pytest.mark.usefixtures("project")
def test_describe_prints_the_text_and_nothing_else(stavewright: Command) -> None:
    run = stavewright("describe", "answers/cadence.md")
    assert run.code == 0
    assert run.err == ""
    assert run.out.startswith("The dominant goes to the tonic.")
    assert "https://band.example/music/answers/cadence/#the-notes" in run.out
    assert "Nobody paid for this." in run.out


def test_interrupted_is_130_and_one_line(
    stavewright: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupt(_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(check_module, "check_paths", interrupt)
    run = stavewright("check")
    # The line end before it closes the line on which a terminal shows ^C.
    assert run == Run(130, "", "\nInterrupted.\n")


def test_a_fault_of_our_own_is_one_message_and_never_a_traceback(
    stavewright: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_down(_: object) -> None:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(check_module, "check_paths", break_down)
    run = stavewright("check")
    assert run.code == 2
    assert "a fault in Stavewright itself: ZeroDivisionError: division by zero" in run.err
    assert "STAVEWRIGHT_TRACE=1" in run.err
    assert "Traceback" not in run.err
    monkeypatch.setenv("STAVEWRIGHT_TRACE", "1")
    monkeypatch.setattr(sys, "argv", ["stavewright", "check"])
    with pytest.raises(ZeroDivisionError):
        cli.main()


def test_a_build_as_a_process_of_its_own(project: Path) -> None:
    run = spawn("build", folder=project)
    assert (run.returncode, run.stderr) == (0, "")
    assert run.stdout == (
        "Checked 5 articles, 3 music blocks, 1 claim: nothing found.\n"
        "Wrote 5 pages to site; 1 draft left out (`draft: true`).\n"
    )
    edit("content/answers/minor.md", "cadence.md", "cadense.md")
    run = spawn("build", folder=project)
    assert run.returncode == 1
    assert run.stderr == "Nothing was written; site is as it was.\n"
    run = spawn("build", "--keep-going", folder=project)
    assert run.returncode == 1
    assert run.stdout.endswith("1 draft left out (`draft: true`).\n")


@pytest.mark.skipif(os.name == "nt", reason="there are no pseudo-terminals")
@pytest.mark.parametrize("no_color", [False, True])
def test_colours_are_for_terminals_that_want_them(project: Path, no_color: bool) -> None:
    edit("content/answers/minor.md", "cadence.md", "cadense.md")
    shown = _on_a_terminal(project, "check", NO_COLOR="1" if no_color else "")
    assert ("\x1b[" in shown) is not no_color
    assert "\x1b[" not in spawn("check", folder=project).stdout


@pytest.mark.skipif(os.name == "nt", reason="there are no pseudo-terminals")
def test_a_build_on_a_terminal_shows_its_progress(project: Path) -> None:
    assert "make" in _on_a_terminal(project, "build", TERM="xterm-256color")


def _on_a_terminal(folder: Path, *arguments: str, **environment: str) -> str:
    import pty

    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "stavewright", *arguments],
        cwd=folder,
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        env={**os.environ, **environment},
    )
    os.close(theirs)
    shown = b""
    try:
        while part := os.read(ours, 4096):
            shown += part
    except OSError:
        pass  # Linux says so when the other side has closed.
    finally:
        os.close(ours)
    process.wait()
    return shown.decode("utf-8", "replace")


@pytest.mark.skipif(os.name == "nt", reason="there is no such signal")
def test_an_interrupt_of_a_real_build_leaves_the_old_site_and_no_leftovers(project: Path) -> None:
    # The signal must not come while Python itself is still starting.
    code = (
        "import sys; sys.argv = ['stavewright', 'build']\n"
        "from stavewright.cli import main\n"
        "print('ready', flush=True)\n"
        "main()"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", code],
        cwd=project,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n"
    # It may be done before the signal comes; then there is a site, whole.
    try:
        process.wait(timeout=0.3)
    except subprocess.TimeoutExpired:
        process.send_signal(signal.SIGINT)
    _, errors = process.communicate()
    assert "Traceback" not in errors
    assert process.returncode in {0, 130}
    expected = {"content", "theme", "site"} if process.returncode == 0 else {"content", "theme"}
    assert {path.name for path in project.iterdir()} == expected
