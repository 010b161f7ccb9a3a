"""syllables: one token for each note that is sung."""

from collections.abc import Iterator

from stavewright.checking.rule import Rule
from stavewright.checking.words import count_word, counted
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.resolve_voices import onsets
from stavewright.notation.score import Score, Syllable, Voice, Words

_REASON = "Each sung note has its syllable; a `.` holds the last one on over further notes."
_NOT_PLAIN = frozenset('.|-" ')


def _check(score: Score) -> Iterator[Finding]:
    voices = {voice.name: voice for voice in score.voices}
    for words in score.words:
        voice = voices.get(words.voice)
        if voice is None:
            continue
        yield from _too_many(words, voice)
        yield from _too_few(words, voice)


def _too_many(words: Words, voice: Voice) -> Iterator[Finding]:
    extra = [each for each in words.syllables if each.event is None]
    if not extra or extra[0].span is None:
        return
    count = counted(len(extra), "rest" if all(each.gap for each in extra) else "syllable")
    message = f"{count[:1].upper()}{count[1:]} too many: the notes of the line are used up"
    gaps = any(each.gap for each in words.syllables)
    if gaps and any(event.silence is not None for event in voice.events):
        message += "; a `rest` among the words is a note that is not sung, not a rest of the voice"
    yield Finding("syllables", Severity.ERROR, extra[0].span, message, None, _REASON)


def _too_few(words: Words, voice: Voice) -> Iterator[Finding]:
    last = next((each for each in reversed(words.syllables) if each.event is not None), None)
    if last is None or last.event is None or last.span is None:
        return
    left = sum(at > last.event for at in onsets(voice.events))
    if left:
        count = f"{count_word(left)} more {'note has' if left == 1 else 'notes have'}"
        message = f"After this {'rest' if last.gap else 'syllable'} {count} no word"
        held = _held_on(last, left)
        yield Finding("syllables", Severity.WARNING, last.span, message, held, _REASON)


def _held_on(last: Syllable, notes: int) -> str | None:
    """The last syllable with signs that hold it on to the end; a rest with as many more."""
    if not last.text:
        return " ".join(["rest" if last.gap else "."] * (notes + 1))
    if _NOT_PLAIN & set(last.text):
        return None
    return f"{last.text}{'-' if last.hyphen else ''}{' .' * notes}"


RULE = Rule(
    id="syllables",
    severity=Severity.ERROR,
    explanation=(
        "A line of words has one token for each sung note: a syllable, or a dot that holds the "
        "last one on. One token too many or too few, and every syllable after it is sung on the "
        "wrong note."
    ),
    wrong="""\
time: 3/4
notes: 1/4 G4 A4 B4 | 3/4 C5
words: Win- ter is now long
""",
    right="""\
time: 3/4
notes: 1/4 G4 A4 B4 | 3/4 C5
words: Win- ter is long
""",
    check=_check,
)
