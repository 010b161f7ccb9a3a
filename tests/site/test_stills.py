"""Files for a video: named to be found, complete, honest about what is missing."""

import json
import shutil
import subprocess
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from stavewright import cli
from stavewright.figures.sound import perform
from stavewright.figures.stills import steps
from stavewright.figures.stills.clip import PROGRAM, Clip, ClipError, frame_counts, write_clip
from stavewright.notation import parse_block
from stavewright.site.errors import CannotRunError

GROOVE = """time: 4/4
tempo: 1/4 at 96
show: staff grid
staves: percussion(kick snare)
kick: 1/4 x rest x rest
snare: 1/4 rest x@-1/48 rest x
source: A march, traditional.
"""
ARTICLE = f"""---
title: Pushed
date: 2025-03-01
credits:
  - Played by the band.
---

```music
{GROOVE}```

```music
key: D minor
chords: Dm A7
show: circle
```
"""
WRONG = ARTICLE.replace("chords: Dm A7", "time: 4/4\nchords: 1/1 Em\nnotes: 1/1 D4&F4&A4")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "content/answers").mkdir(parents=True)
    (tmp_path / "content/answers/pushed.md").write_text(ARTICLE, "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*options: str) -> Result:
    arguments = ["stills", "answers/pushed.md", "--size", "320x180", *options]
    return CliRunner().invoke(cli.stavewright, arguments)


def names(folder: Path) -> list[str]:
    return sorted(path.name.removeprefix("pushed-") for path in (folder / "stills").iterdir())


def test_every_view_of_every_figure_is_written(folder: Path) -> None:
    result = run()
    assert result.exit_code == 0, result.output
    views = ["figure-1-grid", "figure-1-staff", "figure-2-circle"]
    assert names(folder) == ["credits.txt", *(f"{v}.{e}" for v in views for e in ("png", "svg"))]
    assert "Wrote 7 files to stills." in result.output
    credits = (folder / "stills/pushed-credits.txt").read_text("utf-8")
    assert "Played by the band." in credits
    assert "Figure 1: A march, traditional." in credits
    assert "no legal advice" in credits


def test_steps_and_sound_of_one_figure(folder: Path) -> None:
    result = run("--figure", "1", "--steps", "--sound")
    assert result.exit_code == 0, result.output
    row = steps(perform(parse_block(GROOVE).score))
    numbers = [f"{place:03}" for place in range(1, len(row) + 1)]
    for view in ("grid", "staff"):
        assert [name for name in names(folder) if name.startswith(f"figure-1-{view}-step")] == [
            f"figure-1-{view}-step-{number}.png" for number in numbers
        ]
    table = (folder / "stills/pushed-figure-1-steps.txt").read_text("utf-8").splitlines()
    assert len(table) == len(row) + 1
    # The snare a forty-eighth of a whole note early: 52.08 ms before 625.
    assert "572.917" in f"{float(table[2].split()[1]) * 1000:.3f}"
    assert (folder / "stills/pushed-figure-1.wav").read_bytes().startswith(b"RIFF")
    first = (folder / "stills/pushed-figure-1-staff-step-001.png").read_bytes()
    assert first != (folder / "stills/pushed-figure-1-staff.png").read_bytes()
    again = {path.name: path.read_bytes() for path in (folder / "stills").iterdir()}
    run("--figure", "1", "--steps", "--sound")
    assert {path.name: path.read_bytes() for path in (folder / "stills").iterdir()} == again


def test_steps_of_an_earlier_run_do_not_stay_and_nothing_else_goes(folder: Path) -> None:
    (folder / "stills").mkdir()
    for name in (
        "pushed-figure-1-staff-step-999.png",
        "pushed-figure-1-staff-step-999.txt",
        "my.png",
    ):
        (folder / "stills" / name).write_bytes(b"mine")
    run("--figure", "1", "--steps")
    kept = {path.name for path in (folder / "stills").iterdir()}
    assert "pushed-figure-1-staff-step-999.png" not in kept
    assert {"pushed-figure-1-staff-step-999.txt", "my.png"} <= kept


def test_a_figure_with_an_error_is_left_out_and_the_rest_is_made(folder: Path) -> None:
    (folder / "content/answers/pushed.md").write_text(WRONG, "utf-8")
    result = run()
    assert result.exit_code == 1
    assert "chord-label" in result.output
    assert "Figures with errors were left out." in result.output
    assert not any("figure-2" in name for name in names(folder))
    assert "figure-1-staff.png" in names(folder)


def test_without_ffmpeg_the_rest_is_done(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(folder))
    result = run("--figure", "1", "--clip", "--steps")
    assert result.exit_code == 2
    assert result.output.count("ffmpeg") == 1
    assert "figure-1-staff-step-001.png" in names(folder)


def test_what_cannot_be_asked_for(folder: Path) -> None:
    assert "did you mean black?" in run("--ink", "blak").output
    assert "a size is written like 1920x1080" in run("--size", "big").output
    for options, words in (
        (("--figure", "3"), "has 2 figures, and no figure 3"),
        (("--content", "nowhere"), "there is no content folder"),
    ):
        error = run(*options).exception
        assert isinstance(error, CannotRunError)
        assert words in str(error)
    assert not (folder / "stills").exists()


def probe(path: Path, *what: str) -> list[dict[str, str]]:
    command = ["ffprobe", "-v", "error", "-of", "json", *what, str(path)]
    data = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)
    (found,) = (value for key, value in data.items() if isinstance(value, list) and value)
    return found


needs_ffmpeg = pytest.mark.skipif(
    shutil.which(PROGRAM) is None or shutil.which("ffprobe") is None,
    reason="ffmpeg and ffprobe are not installed",
)


@needs_ffmpeg
def test_a_clip_is_transparent_and_changes_when_the_music_does(folder: Path) -> None:
    result = run("--figure", "1", "--clip", "--rate", "50", "--size", "160x90")
    assert result.exit_code == 0, result.output
    clip = folder / "stills/pushed-figure-1-staff.mov"
    film, sound = probe(clip, "-show_streams")
    assert (film["codec_name"], film["profile"]) == ("prores", "4444")
    assert film["pix_fmt"].startswith("yuva444p")
    assert film["r_frame_rate"] == film["avg_frame_rate"] == "50/1"
    assert (film["width"], film["height"]) == (160, 90)
    assert (sound["codec_name"], sound["sample_rate"]) == ("pcm_s24le", "48000")
    row = steps(perform(parse_block(GROOVE).score))
    length = row[-1].start + row[-1].length
    assert abs(float(film["duration"]) - float(sound["duration"])) <= 1 / 50
    assert 0 <= float(sound["duration"]) - float(length) < 0.5
    frames = _frames(clip, 160, 90)
    changes = [at for at, pair in enumerate(pairwise(frames), 1) if _differ(*pair)]
    expected = [step.start for step in row[1:]]
    assert len(changes) == len(expected)
    # Half a frame is the best that a film can do.
    late = [abs(Fraction(at, 50) - time) for at, time in zip(changes, expected, strict=True)]
    assert max(late) <= Fraction(1, 100)
    # What is not drawn is transparent, all the way through.
    assert all(frame[3] == 0 for frame in frames)


def _frames(clip: Path, width: int, height: int) -> list[bytes]:
    command = ["ffmpeg", "-v", "error", "-i", str(clip), "-f", "rawvideo", "-pix_fmt", "rgba", "-"]
    data = subprocess.run(command, capture_output=True, check=True).stdout
    size = 4 * width * height
    return [data[at : at + size] for at in range(0, len(data), size)]


def _differ(one: bytes, other: bytes) -> bool:
    """Whether the transparency of two frames differs by more than coding does."""
    pairs = zip(one[3::4], other[3::4], strict=True)
    return any(abs(a - b) > 16 for a, b in pairs)


@needs_ffmpeg
def test_a_clip_that_cannot_be_made_says_why(tmp_path: Path) -> None:
    row = steps(perform(parse_block(GROOVE).score))
    clip = Clip(row, lambda _: b"no picture", b"no sound", Fraction(3), 25)
    with pytest.raises(ClipError, match=r"ffmpeg could not make clip\.mov: "):
        write_clip(clip, tmp_path / "clip.mov")
    assert not (tmp_path / "clip.mov").exists()


def test_the_last_picture_stays_until_the_sound_has_died_away() -> None:
    row = steps(perform(parse_block("time: 2/4\ntempo: 1/4 at 60\nnotes: 1/4 C4 D4").score))
    clip = Clip(row, lambda _: b"", b"", Fraction(5, 2), 24)
    assert [count for _, count in frame_counts(clip)] == [24, 36]
