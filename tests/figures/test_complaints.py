"""What is written below Python's streams: caught while it is wanted, and only then."""

import os

import pytest

from stavewright.figures.complaints import Complaints, first_error


def test_only_what_was_caught_last_is_read(capfd: pytest.CaptureFixture[str]) -> None:
    complaints = Complaints()
    os.write(2, b"before\n")
    with complaints.caught():
        os.write(2, b"a long first one\n")
    assert complaints.read() == "a long first one\n"
    os.write(2, b"between\n")
    with complaints.caught():
        os.write(2, b"second\n")
    with complaints.caught():
        pass
    assert complaints.read() == ""
    with complaints.caught():
        os.write(2, b"third \xff\n")
    assert [complaints.read(), complaints.read()] == ["third \N{REPLACEMENT CHARACTER}\n"] * 2
    assert capfd.readouterr().err == "before\nbetween\n"


def test_an_exception_gives_the_stream_back(capfd: pytest.CaptureFixture[str]) -> None:
    complaints = Complaints()

    def fail() -> None:
        with complaints.caught():
            os.write(2, b"lost\n")
            raise ValueError("on the way")

    with pytest.raises(ValueError, match="on the way"):
        fail()
    os.write(2, b"heard\n")
    assert capfd.readouterr().err == "heard\n"
    with complaints.caught():
        os.write(2, b"new\n")
    assert complaints.read() == "new\n"


@pytest.mark.parametrize(
    ("said", "error"),
    [
        ("", ""),
        ("[Warning] no such id\n", ""),
        ("[Warning] one\n[Error] Two is wrong \n[Error] Three\n", "Two is wrong"),
        (f"[Error] {'x' * 300}\n", "x" * 200),
    ],
)
def test_the_first_error_is_told(said: str, error: str) -> None:
    assert first_error(said) == error
