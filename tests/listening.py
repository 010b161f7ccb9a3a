"""Pitch and time measured from samples, whoever rendered them."""

import numpy as np
from numpy.typing import NDArray

RATE = 48_000

Samples = NDArray[np.float32] | NDArray[np.float64]


def frequency(samples: Samples, near: float) -> float:
    """The strongest frequency within a half step of `near`: the peak of a windowed spectrum."""
    size = 1 << 19
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples)), size))
    low, high = (int(near * ratio * size / RATE) for ratio in (2 ** (-1 / 12), 2 ** (1 / 12)))
    peak = low + int(np.argmax(spectrum[low:high]))
    before, here, after = np.log(spectrum[peak - 1 : peak + 2])
    offset = (before - after) / (2 * (before - 2 * here + after))
    return float((peak + offset) * RATE / size)


def cents(found: float, wanted: float) -> float:
    return float(1200 * np.log2(found / wanted))


def equal(key: float, a4: float = 440.0) -> float:
    return a4 * 2 ** ((key - 69) / 12)


def onsets(samples: Samples) -> list[int]:
    """Where sound begins after silence, in samples."""
    loud = np.abs(samples) > 1e-7
    quiet_before = int(0.02 * RATE)
    found = []
    silent = quiet_before
    for at in np.flatnonzero(np.diff(np.concatenate(([False], loud)).astype(int))):
        if loud[at]:
            if silent >= quiet_before:
                found.append(int(at))
        else:
            rest = np.flatnonzero(loud[at:])
            silent = int(rest[0]) if len(rest) else len(samples)
    return found
