"""key-theoretical: printed signatures past seven accidentals."""

from collections.abc import Iterator

from stavewright.checking.rule import Rule
from stavewright.checking.words import counted
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score
from stavewright.notation.source import Span
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
    span = score.field_span("transposes")
    if score.key is None or score.key.is_theoretical or span is None:
        return
    for voice in score.voices:
        if voice.transposition is None:
            continue
        printed = Key(score.key.tonic + voice.transposition, score.key.mode)
        if printed.is_theoretical:
            message = (
                f"{score.key} is printed for {voice.name} as {printed}, with "
                f"{_signature_words(printed)}; {printed.practical} sounds the same"
            )
            yield Finding("key-theoretical", Severity.WARNING, span, message, None, _REASON)


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
