"""Key signatures and clefs as MEI writes them."""

from typing import Final

from stavewright.figures.mei.markup import attributes, element
from stavewright.notation.clefs import CLEFS, Clef
from stavewright.theory.interval import Interval
from stavewright.theory.key import MOST_IN_PRINT, Key

_SIGNS: Final = {-3: "tf", -2: "ff", -1: "f", 0: "n", 1: "s", 2: "x", 3: "ts"}
_DISPLACED: Final = {1: "8", 2: "15"}

# Where each sign of a signature stands: letters above the bottom line, in the order F C G D A E B
# for sharps and B E A D G C F for flats (common practice, no source).
_SHARPS: Final = {
    "treble": (8, 5, 9, 6, 3, 7, 4),
    "french-violin": (3, 7, 4, 8, 5, 2, 6),
    "soprano": (3, 7, 4, 8, 5, 9, 6),
    "mezzo-soprano": (5, 2, 6, 3, 7, 4, 8),
    "alto": (7, 4, 8, 5, 2, 6, 3),
    "tenor": (2, 6, 3, 7, 4, 8, 5),
    "baritone": (4, 8, 5, 2, 6, 3, 7),
    "bass": (6, 3, 7, 4, 1, 5, 2),
    "subbass": (8, 5, 9, 6, 3, 7, 4),
}
_FLATS: Final = {
    "treble": (4, 7, 3, 6, 2, 5, 1),
    "french-violin": (2, 5, 1, 4, 0, 3, 6),
    "soprano": (6, 2, 5, 1, 4, 0, 3),
    "mezzo-soprano": (1, 4, 0, 3, 6, 2, 5),
    "alto": (3, 6, 2, 5, 1, 4, 0),
    "tenor": (5, 8, 4, 7, 3, 6, 2),
    "baritone": (0, 3, -1, 2, 5, 1, 4),
    "bass": (2, 5, 1, 4, 0, 3, -1),
    "subbass": (4, 7, 3, 6, 2, 5, 1),
}


def clef_element(name: str) -> str:
    """A clef by its name in `notation.clefs`."""
    clef = CLEFS[name]
    displaced = abs(clef.octaves)
    given = {
        "shape": clef.sign,
        "line": None if clef.sign == "perc" else str(clef.line),
        "dis": _DISPLACED.get(displaced),
        "dis.place": ("above" if clef.octaves > 0 else "below") if displaced else None,
    }
    return element("clef", attributes(given))


def printed_key(key: Key | None, transposition: Interval | None) -> Key | None:
    """The key that a transposing voice reads."""
    if key is None or transposition is None:
        return key
    return Key(key.tonic + transposition, key.mode)


def signature_element(key: Key | None, clef: str, before: Key | None = None) -> str:
    """The signature of a key in a clef; after another key, with naturals where they help."""
    count = key.signature if key is not None else 0
    mode = key.mode.value if key is not None else None
    if CLEFS[clef].sign == "perc":
        return element("keySig", attributes({"sig": "0"}))
    cancels = before is not None and _leaves_some(before.signature, count)
    cancel = "before" if cancels else None
    if key is None or abs(count) <= MOST_IN_PRINT:
        sign = "s" if count > 0 else "f"
        sig = f"{abs(count)}{sign}" if count else "0"
        return element("keySig", attributes({"sig": sig, "mode": mode, "cancelaccid": cancel}))
    places = (_SHARPS if count > 0 else _FLATS)[_family(CLEFS[clef])]
    signs = [
        {
            "pname": name.letter.lower(),
            "accid": _SIGNS[name.accidentals],
            "loc": str(place),
        }
        for name, place in zip(key.signature_names, places, strict=True)
    ]
    inside = "".join(element("keyAccid", attributes(sign)) for sign in signs)
    return element("keySig", attributes({"mode": mode, "cancelaccid": cancel}), inside)


def _leaves_some(before: int, after: int) -> bool:
    """Whether an accidental of the old signature is missing from the new one."""
    return before * after < 0 or abs(after) < abs(before)


def _family(clef: Clef) -> str:
    """The clef without its small figure: signs stand alike under both."""
    return clef.name.split("-8")[0].split("+")[0].split("-15")[0]
