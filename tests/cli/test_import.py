"""`stavewright import`, as an author types it."""

from pathlib import Path

import pytest

from stavewright.commands.options import COULD_NOT_RUN
from tests.cli.running import Command
from tests.importing.case_files import musicxml

_TUNE = """<measure number="1"><attributes><divisions>24</divisions>\
<time><beats>2</beats><beat-type>4</beat-type></time></attributes>\
<direction><direction-type><wedge type="crescendo"/></direction-type></direction>{C4 half}</measure>
<measure number="2">{D4 half}</measure><measure number="3">{E4 half}</measure>"""


@pytest.fixture
def tune(tmp_path: Path) -> Path:
    path = tmp_path / "tune.musicxml"
    path.write_text(musicxml(_TUNE, "Flute"), encoding="utf-8")
    return path


def test_a_block_is_ready_to_paste(stavewright: Command, tune: Path) -> None:
    run = stavewright("import", str(tune), "--bars", "1-2")
    assert run.code == 0
    assert run.out == "```music\ntime: 2/4\nnotes: 1/2 C4 | D4\n```\n"
    assert run.err == "Not carried over: 1 hairpin, in bar 1.\n"


def test_the_block_alone_with_comments(stavewright: Command, tune: Path) -> None:
    run = stavewright("import", str(tune), "--bars", "1", "--bare", "--comments")
    assert run.out == "time: 2/4\nnotes: 1/2 C4\n// not carried over: 1 hairpin, in bar 1\n"


def test_credits_bring_a_word_on_quoting(stavewright: Command, tmp_path: Path) -> None:
    path = tmp_path / "song.xml"
    credited = musicxml(_TUNE, "").replace(
        "<part-list>",
        "<identification><creator>the town band</creator></identification><part-list>",
    )
    path.write_text(credited, encoding="utf-8")
    run = stavewright("import", str(path), "--bars", "2")
    assert "credit: the town band\n" in run.out
    assert "no legal advice" in run.err


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--bars", "9"), "there is no bar 9; the file has bars 1 to 3"),
        (("--staff", "oboe"), "there is no staff 'oboe'; the staves are: 1 flute"),
    ],
)
def test_what_is_not_there_is_one_message(
    stavewright: Command, tune: Path, options: tuple[str, ...], says: str
) -> None:
    run = stavewright("import", str(tune), *options)
    assert run.code == COULD_NOT_RUN
    assert run.out == ""
    assert run.err == f"stavewright: {tune}: {says}.\n"


def test_a_file_that_is_not_there(stavewright: Command, tmp_path: Path) -> None:
    run = stavewright("import", str(tmp_path / "nothing.mei"))
    assert run.code == COULD_NOT_RUN
    assert "there is no file" in run.err
