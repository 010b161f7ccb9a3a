"""A clip: the steps as a film with a transparent ground, in step with the sound.

It is made by ffmpeg where that is installed, as ProRes 4444 in a QuickTime file: the common form
in which editing programs take film with transparency. Each frame is handed over as the picture of
the step that holds at its time, at a constant rate, so that nothing drifts and every change comes
on the frame nearest to its exact time. The sound is put in as it is, sample by sample.
"""

import shutil
import subprocess
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import IO, Final

from stavewright.figures.stills.steps import Step
from stavewright.figures.stills.timetable import frame_at, frames_of

RATES: Final = (24, 25, 30, 50, 60)
"""Frames a second to choose from."""
PROGRAM: Final = "ffmpeg"


class ClipError(Exception):
    """The clip could not be made; the message says why."""


@dataclass(frozen=True, slots=True)
class Clip:
    """What a clip is made of."""

    steps: Sequence[Step]
    picture: Callable[[Step], bytes]
    """The picture of a step, as PNG; all of one size."""
    sound: bytes
    """WAV."""
    seconds: Fraction
    """How long the sound lasts, to its last sample."""
    rate: int
    """Frames a second."""


def has_ffmpeg() -> bool:
    """Whether clips can be made here."""
    return shutil.which(PROGRAM) is not None


def write_clip(clip: Clip, path: Path) -> None:
    """Write the clip to `path`, which ends in `.mov`. Raises `ClipError`, and `OSError`."""
    program = shutil.which(PROGRAM)
    if program is None:
        raise ClipError(f"{PROGRAM} is not installed")
    with tempfile.TemporaryDirectory(prefix="stavewright-") as folder:
        sound = Path(folder) / "sound.wav"
        sound.write_bytes(clip.sound)
        made = Path(folder) / "clip.mov"
        with tempfile.TemporaryFile() as said:
            code = _run(_command(program, sound, made, clip.rate), clip, said)
            said.seek(0)
            words = said.read().decode("utf-8", "replace").strip()
        if code:
            last = words.splitlines()[-1:] or ["it said nothing"]
            raise ClipError(f"{PROGRAM} could not make {path.name}: {last[0]}")
        shutil.move(made, path)


def frame_counts(clip: Clip) -> list[tuple[Step, int]]:
    """How many frames show each step; the last is shown until the sound has died away."""
    counts = [number for _, number in frames_of(clip.steps, clip.rate)]
    whole = max(frame_at(clip.seconds, clip.rate), 1)
    if counts:
        counts[-1] = max(counts[-1], whole - sum(counts[:-1]))
    return list(zip(clip.steps, counts, strict=True))


def _command(program: str, sound: Path, made: Path, rate: int) -> list[str]:
    pictures = ["-f", "image2pipe", "-framerate", str(rate), "-c:v", "png", "-i", "pipe:0"]
    film = ["-c:v", "prores_ks", "-profile:v", "4444", "-pix_fmt", "yuva444p10le", "-q:v", "4"]
    colours = ["-color_primaries", "bt709", "-color_trc", "bt709", "-colorspace", "bt709"]
    same = ["-map_metadata", "-1", "-fflags", "+bitexact", "-flags:v", "+bitexact"]
    return [
        *(program, "-hide_banner", "-loglevel", "error", "-nostdin", "-y"),
        *pictures,
        *("-i", str(sound)),
        *("-vf", "scale=out_color_matrix=bt709:out_range=tv"),
        *film,
        *("-alpha_bits", "16"),
        *colours,
        *("-c:a", "pcm_s24le"),
        *same,
        str(made),
    ]


def _run(command: list[str], clip: Clip, said: IO[bytes]) -> int:
    """Run the program and hand it every frame; gives its exit code."""
    process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=said, stderr=said)
    try:
        with process.stdin or tempfile.TemporaryFile() as frames:
            for step, count in frame_counts(clip):
                picture = clip.picture(step) if count else b""
                for _ in range(count):
                    frames.write(picture)
    except BrokenPipeError:
        pass  # it has ended early, and has said why
    except BaseException:
        process.kill()
        process.wait()
        raise
    return process.wait()
