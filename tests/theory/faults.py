"""One way to check that bad text gives the fault that a data file promises."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from stavewright.theory import TheoryError

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.cases import Case


def check_fault(parse: Callable[[str], object], case: Case) -> None:
    """Parse a bad text: place, words and suggestion are as promised, and the suggestion helps."""
    with pytest.raises(TheoryError) as caught:
        parse(case["text"])
    fault = caught.value
    assert case["says"] in fault.message
    assert fault.text == case["text"]
    if "start" in case:
        assert (fault.start, fault.end) == (int(case["start"]), int(case["end"]))
    expected = {"-": None, "(empty)": ""}.get(case["suggestion"], case["suggestion"])
    assert fault.suggestion == expected
    if fault.repaired is not None:
        parse(fault.repaired)


def check_any_text(parse: Callable[[str], object], text: str) -> None:
    """Parse any text at all: a value, or a fault inside the text.

    Where faults carry suggestions, mending one after the other soon ends in a value or in a fault
    that has none; no suggestion leads in a circle.
    """
    for _ in range(4):
        fault = _fault(parse, text)
        if fault is None:
            return
        assert fault.text == text
        assert 0 <= fault.start <= fault.end <= len(text)
        assert fault.message
        if fault.repaired is None:
            return
        text = fault.repaired
    pytest.fail(f"suggestions lead nowhere: {text!r}")


def _fault(parse: Callable[[str], object], text: str) -> TheoryError | None:
    try:
        parse(text)
    except TheoryError as fault:
        return fault
    return None
