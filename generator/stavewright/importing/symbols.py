"""Chord symbols, numerals and figured bass of other programs in the spelling of a block."""

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from stavewright.importing.model import Placed
from stavewright.theory import Chord, Key, Numeral, PitchName, TheoryError

Degree = tuple[str, str, int]
"""`add`, `alter` or `subtract`; the degree with its sign, `b9`; its plain number."""

_SIGNS: Final = str.maketrans(
    {
        "♭": "b",
        "♯": "#",
        "♮": "n",
        "−": "-",
        "\u00a0": " ",
        "\u2009": " ",
        "\ue260": "b",
        "\ue262": "#",
    }
)
_DOUBLES: Final = (("𝄫", "bb"), ("𝄪", "##"))
_NO_CHORD: Final = ("n.c.", "nc", "n.c", "no chord", "tacet")
_LONGEST: Final = 40
_SUSPENDED: Final = re.compile(r"(\S+)\s+(\d)[–-](\d)")
"""A suspension as it is set, the figures of its two steps raised."""
_KEY_NAME: Final = re.compile(r"(?P<key>[A-G][♯♭𝄪𝄫#b]* \w+):\s*(?P<rest>.*)")
_FIGURE: Final = re.compile(r"(?P<sign>##|bb|[#bn])?(?P<number>\d{1,2})?(?P<after>##|bb|[#bn+])?")


def plain(words: str) -> str:
    """Musical signs as the letters a block is written with; no spaces around."""
    for sign, letters in _DOUBLES:
        words = words.replace(sign, letters)
    return words.translate(_SIGNS).strip()


def chord_text(
    root: PitchName,
    suffixes: Sequence[str | None],
    degrees: Sequence[Degree] = (),
    bass: PitchName | None = None,
) -> str | None:
    """A chord symbol that the theory core reads: the first of the suffixes that makes one.

    None where none does.
    """
    tail = f"/{bass.spelled}" if bass is not None and bass != root else ""
    for suffix in suffixes:
        if suffix is None:
            continue
        for written in _with_degrees(plain(suffix), degrees):
            for text in (f"{root.spelled}{written}{tail}", f"{root.spelled}({written}){tail}"):
                if _is_chord(text):
                    return text
    return None


def _with_degrees(suffix: str, degrees: Sequence[Degree]) -> Iterator[str]:
    """Ways of writing a suffix with what is added, altered and left out."""
    if not degrees:
        yield suffix
        return
    # A suspension is told as a fourth added where the third is taken away.
    done = {kind: shown for kind, shown, _ in degrees}
    if len(degrees) == 2 and done.get("subtract") == "3" and done.get("add") in ("4", "2"):
        yield f"{suffix}sus{done['add']}"
    for bare_adds in (True, False):
        words = [_degree(each, has_adds=bare_adds) for each in degrees]
        yield f"{suffix}({''.join(words)})"
        yield suffix + "".join(words)
        yield suffix + "".join(f"({word})" for word in words)


def _degree(degree: Degree, *, has_adds: bool) -> str:
    kind, shown, value = degree
    if kind == "subtract":
        return f"no{value}"
    return f"add{shown}" if kind == "add" and has_adds and shown == str(value) else shown


def read_chord(words: str) -> str | None:
    """A chord symbol written out, as it stands in text: empty for N.C., None for no symbol."""
    text = plain(words).replace(" ", "")
    if text.lower() in _NO_CHORD:
        return ""
    return text if _is_chord(text) else None


def _is_chord(text: str) -> bool:
    if not text or len(text) > _LONGEST or any(sign.isspace() or sign == '"' for sign in text):
        return False
    try:
        Chord.parse(text)
    except TheoryError:
        return False
    return True


def numeral_text(words: str) -> str | None:
    """A Roman numeral in our spelling; None for anything else."""
    shown = _SUSPENDED.sub(r"\1(\2-\3)", plain(words))
    text = shown.replace(" ", "").replace("°", "o").replace("/o", "ø")
    text = re.sub(r"(\d)/(?=\d)", r"\1", text)
    if not text or len(text) > _LONGEST:
        return None
    try:
        Numeral.parse(text)
    except TheoryError:
        return None
    return text


def local_key(words: str) -> tuple[str, str]:
    """What follows the name of a key, as in `G major: V`; and that key as a block says it."""
    match = _KEY_NAME.fullmatch(words)
    if match is None:
        return words, ""
    try:
        return match["rest"], f"key({Key.parse(plain(match['key']))})"
    except TheoryError:
        return match["rest"], ""


def put_numeral(numerals: list[Placed[str]], at: Fraction, numeral: str, key: str) -> None:
    """Add a numeral to those of a bar; a second one at its moment re-reads it in a new key."""
    before = numerals[-1] if numerals else None
    if before is not None and before.at == at and key and "=" not in before.what:
        numerals[-1] = Placed(at, f"{before.what} {key}={numeral}")
    else:
        numerals.append(Placed(at, f"{key} {numeral}" if key else numeral))


def figures_text(figures: Sequence[str]) -> str | None:
    """Figures of a bass from the top down, joined; None where one is not understood."""
    found = []
    for figure in figures:
        match = _FIGURE.fullmatch(plain(figure).replace("+", "#"))
        if match is None or not any(match.groups()):
            return None
        sign = match["sign"] or match["after"] or ""
        found.append(f"{sign}{match['number'] or ''}")
    return "&".join(found) or None
