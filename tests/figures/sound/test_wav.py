"""Sound that is rendered without a browser: in tune, in time, never too loud, always the same.

Pitch and time are measured from the samples of the file itself; what is expected comes from equal
temperament and from arithmetic, not from what rendered it.
"""

import io
import wave
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml
from numpy.typing import NDArray

from stavewright.figures.sound import perform
from stavewright.figures.sound.recipe import RECIPE_JSON, recipe
from stavewright.figures.sound.synthesis import hit
from stavewright.figures.sound.wav import PEAK, wav_file
from stavewright.notation import parse_block
from tests.listening import RATE, cents, equal, frequency, onsets

CASES = yaml.safe_load((Path(__file__).parent / "data/wav.yaml").read_text("utf-8"))


def heard(block: str) -> tuple[bytes, NDArray[np.float64]]:
    """The file of a block, and its samples, from -1 to 1."""
    parsed = parse_block(block)
    assert parsed.findings == ()
    data = wav_file(perform(parsed.score))
    with wave.open(io.BytesIO(data)) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 3, RATE)
        raw = np.frombuffer(file.readframes(file.getnframes()), dtype=np.uint8).reshape(-1, 3)
    wide = np.concatenate((np.zeros((len(raw), 1), dtype=np.uint8), raw), axis=1)
    return data, wide.copy().view("<i4").ravel() / 2**31


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["title"])
def test_what_is_rendered(case: dict[str, Any]) -> None:
    _, samples = heard(case["block"])
    for at, key in case.get("tones", ()):
        wanted = equal(key, case.get("a4", 440.0))
        # From after the attack and the tail of the note before it.
        found = frequency(samples[int((at + 0.15) * RATE) : int((at + 0.95) * RATE)], wanted)
        assert abs(cents(found, wanted)) <= 1, (key, found, wanted)
    if "onsets" in case:
        wanted = [Fraction(str(each)) * RATE / 1000 for each in case["onsets"]]
        found = onsets(samples)
        assert len(found) == len(wanted)
        # The first sample of an attack is nothing; the second is heard.
        assert all(abs(at - 1 - time) <= 1 for at, time in zip(found, wanted, strict=True))


def test_a_crowd_is_made_quieter_as_a_whole_and_not_squeezed() -> None:
    chord = "&".join(f"{name}{octave}" for octave in (3, 4) for name in "CDEFGAB")
    voices = "".join(f"{voice}: 1/2 ({chord}).accent ({chord})\n" for voice in "abcd")
    staves = " ".join(f"treble({voice})" for voice in "abcd")
    _, samples = heard(f"time: 4/4\nstaves: {staves}\n{voices}")
    assert np.max(np.abs(samples)) == pytest.approx(PEAK, rel=1e-5)
    assert np.sum(np.abs(samples) > PEAK * 0.99) < 20


def test_a_single_voice_stays_quiet() -> None:
    _, samples = heard("time: 4/4\nnotes: 1/4 C4 E4 G4 C5")
    assert 0.01 < np.max(np.abs(samples)) < 10 ** (-12 / 20)


def test_the_end_has_died_away() -> None:
    _, samples = heard("time: 4/4\ndrums: 1/2 crash-cymbal-1 1/2 kick")
    assert np.max(np.abs(samples[-int(0.01 * RATE) :])) < 1e-3


def test_the_same_block_gives_the_same_bytes() -> None:
    staves = "staves: treble(a) percussion(snare)"
    block = f"time: 4/4\n{staves}\na: 1/4 C4 E(-14)4 G4 C5\nsnare: 1/4 x x x x"
    assert heard(block)[0] == heard(block)[0]


def test_every_instrument_of_the_table_sounds_and_fades() -> None:
    for key, _ in recipe().percussion:
        samples = np.array(hit(key))
        assert 0.05 < np.max(np.abs(samples)) < 2, key
        assert np.max(np.abs(samples[-480:])) < 0.01, key


def test_the_table_is_strict_json_that_a_script_can_hold() -> None:
    text = RECIPE_JSON.read_text("utf-8")
    assert "\u2028" not in text
    assert text.lstrip().startswith("{")
