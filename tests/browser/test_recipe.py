"""The player and the renderer of sound files follow one recipe: measured side by side.

Both render the same figures, the player in an OfflineAudioContext. What must agree is what a reader
could notice between a page and a video: when sounds begin, how high and about how loud they are.
"""

import io
import wave

import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import Page

from stavewright.figures.sound import encode, perform
from stavewright.figures.sound.wav import wav_file
from stavewright.notation import parse_block
from tests.browser.test_sound import browser as browser
from tests.browser.test_sound import host as host
from tests.browser.test_sound import page as page
from tests.browser.test_sound import render
from tests.listening import RATE, cents, frequency, onsets

pytestmark = pytest.mark.browser

LEAD = round(0.05 * RATE)
"""The page's rendering begins so many samples later."""
TUNE = """time: 4/4
tempo: 1/4 at 60
tuning: A4 442
notes: 1/4 A4.staccato E(-50)4@+1/64.staccato C6.staccato E2.staccato
"""
BEAT = """time: 4/4
tempo: 1/4 at 96
drums: 1/4 closed-hi-hat snare@-1/48 side-stick cowbell
"""


def both(page: Page, block: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """What the player and the renderer make of a block, from the same moment."""
    parsed = parse_block(block)
    assert parsed.findings == ()
    performance = perform(parsed.score)
    played = render(page, encode(performance))[LEAD:].astype(float)
    with wave.open(io.BytesIO(wav_file(performance))) as file:
        raw = np.frombuffer(file.readframes(file.getnframes()), dtype=np.uint8).reshape(-1, 3)
    wide = np.concatenate((np.zeros((len(raw), 1), dtype=np.uint8), raw), axis=1)
    return played, wide.copy().view("<i4").ravel() / 2**31


@pytest.mark.parametrize("block", [TUNE, BEAT], ids=["tune", "beat"])
def test_sounds_begin_together(page: Page, block: str) -> None:
    played, rendered = both(page, block)
    # The player's limiter looks ahead: everything comes later by the same few milliseconds.
    first, *_ = found = onsets(played)
    expected = onsets(rendered)
    assert len(found) == len(expected) == 4
    delay = first - expected[0]
    assert 0 <= delay < 0.01 * RATE
    assert all(abs(a - b - delay) <= 2 for a, b in zip(found, expected, strict=True))


def test_tones_are_as_high_and_fall_off_alike(page: Page) -> None:
    played, rendered = both(page, TUNE)
    for at, near in ((0.0, 442), (1.05, 321.6), (2.0, 1051.3), (3.0, 82.8)):
        part = slice(int((at + 0.06) * RATE), int((at + 0.45) * RATE))
        here, there = frequency(played[part], near), frequency(rendered[part], near)
        assert abs(cents(here, there)) <= 1
        for harmonic in (2, 3):
            one, other = (_share(samples[part], near, harmonic) for samples in (played, rendered))
            assert one == pytest.approx(other, rel=0.05)


def test_both_are_about_as_loud(page: Page) -> None:
    for block in (TUNE, BEAT):
        played, rendered = both(page, block)
        decibels = 20 * np.log10(np.std(played) / np.std(np.pad(rendered, (0, RATE // 2))))
        assert abs(decibels) < 0.5, decibels


def _share(samples: NDArray[np.float64], hertz: float, harmonic: int) -> float:
    """How strong a harmonic is beside the first."""
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples))))

    def strength(frequency: float) -> float:
        at = round(frequency * len(samples) / RATE)
        return float(np.max(spectrum[at - 4 : at + 5]))

    return strength(hertz * harmonic) / strength(hertz)
