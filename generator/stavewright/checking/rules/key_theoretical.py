"""key-theoretical: printed signatures past seven accidentals."""

from collections.abc import Iterator

from stavewright.checking.respelling import respelled
from stavewright.checking.rule import Rule
from stavewright.checking.words import counted
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score
from stavewright.notation.source import Span
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key

_REASON = (
    "A signature has one sign for each of the seven letters; beyond that it needs double "
    "accidentals, which players are not used to read there (common practice, no source)."
)


def _check(score: Score) -> Iterator[Finding]:
    span = score.field_span("key")
    if score.key is not None and score.key.is_theoretical and span is not None:
        yield _finding(score.key, "{}", span)
    for change in score.key_changes:
        if change.key.is_theoretical and change.span is not None:
            yield _finding(change.key, "key({})", change.span)
    yield from _transposed(score)


def _finding(key: Key, form: str, span: Span) -> Finding:
    message = (
        f"{key} would need {_signature_words(key)} in its signature; {key.practical} sounds the "
        f"same with {_signature_words(key.practical)}"
    )
    better = form.format(key.practical)
    return Finding("key-theoretical", Severity.WARNING, span, message, better, _REASON)


def _transposed(score: Score) -> Iterator[Finding]:
    """Parts that a transposition takes past seven though the sounding key is practical."""
    span, key = score.field_span("transposes"), score.key
    if key is None or key.is_theoretical or span is None:
        return
    parts = {v.name: v.transposition for v in score.voices if v.transposition is not None}
    # All of them at once: each part stands in the same field.
    better = ", ".join(f"{name} {_practical(key, shift)}" for name, shift in parts.items())
    for name, shift in parts.items():
        printed = Key(key.tonic + shift, key.mode)
        if printed.is_theoretical:
            message = (
                f"{key} is printed for {name} as {printed}, with {_signature_words(printed)}; "
                f"{printed.practical} sounds the same"
            )
            yield Finding("key-theoretical", Severity.WARNING, span, message, better, _REASON)


def _practical(key: Key, shift: Interval) -> Interval:
    """A transposition by as much that prints a key in a signature of seven or fewer."""
    printed = Key(key.tonic + shift, key.mode)
    if not printed.is_theoretical:
        return shift
    sounding = key.tonic.at(4)
    other = respelled(sounding + shift, printed.practical.tonic)
    return shift if other is None else sounding.interval_to(other)


def _signature_words(key: Key) -> str:
    count = abs(key.signature)
    return counted(count, "sharp" if key.signature > 0 else "flat") if count else "no accidentals"


RULE = Rule(
    id="key-theoretical",
    severity=Severity.WARNING,
    explanation=(
        "A printed key signature of more than seven sharps or flats needs double accidentals, and "
        "hardly any player has met one. Unless the article is about just that, the key that "
        "sounds the same is what a reader can use."
    ),
    wrong="""\
key: G# major
notes: 1/4 G#4 A#4 B#4 C#5
""",
    right="""\
key: Ab major
notes: 1/4 Ab4 Bb4 C5 Db5
""",
    check=_check,
)
