"""Checks what a line of prose says about music: `chord: F7 = F A C Eb`."""

from collections.abc import Callable
from typing import Final

from stavewright.checking.claim_nouns.chord import chord_truth, numeral_truth
from stavewright.checking.claim_nouns.interval import interval_truth
from stavewright.checking.claim_nouns.key import key_truth
from stavewright.checking.claim_nouns.note import note_truth
from stavewright.checking.claim_nouns.rhythm import rhythm_truth
from stavewright.checking.claim_nouns.scale import scale_truth
from stavewright.checking.claim_truth import Truth
from stavewright.notation.claim import Claim, Noun, Sign, Statement, Subject
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span

_TRUTHS: Final[dict[Noun, Callable[[Subject, Statement, str], Truth | None]]] = {
    Noun.NOTE: note_truth,
    Noun.INTERVAL: interval_truth,
    Noun.SCALE: scale_truth,
    Noun.KEY: key_truth,
    Noun.CHORD: chord_truth,
    Noun.NUMERAL: numeral_truth,
    Noun.RHYTHM: rhythm_truth,
}


def check_claim(claim: Claim) -> tuple[Finding, ...]:
    """What is wrong with a claim: nothing, one thing that cannot be read, or one untruth.

    An untruth is an error at the word or the statement that is wrong, with the true statement as
    its suggestion.
    """
    if claim.problem is not None:
        return (claim.problem,)
    if claim.sign is None or claim.subject is None or claim.statement is None:
        return ()
    truth = _TRUTHS[claim.noun](claim.subject, claim.statement, claim.statement_text)
    if truth is None or _holds(claim.sign, truth):
        return ()
    return (_untruth(claim, claim.sign, truth),)


def _holds(sign: Sign, truth: Truth) -> bool:
    if sign is Sign.EQUAL:
        return truth.equal
    return truth.alike if sign is Sign.SOUNDS_LIKE else not truth.equal


def _untruth(claim: Claim, sign: Sign, truth: Truth) -> Finding:
    span, better = _place(claim, sign, truth)
    return Finding(
        "claim", Severity.ERROR, span, _message(claim, sign, truth), better, truth.reason
    )


def _message(claim: Claim, sign: Sign, truth: Truth) -> str:
    said = claim.statement_text
    fact = truth.fact
    # A numeral keeps its case, which says whether the chord is minor.
    if not fact.startswith(claim.subject_text):
        fact = fact[:1].upper() + fact[1:]
    if sign is Sign.UNEQUAL:
        return f"{claim.subject_text} and {said} are the same: {truth.fact}"
    if truth.contrasts:
        return fact
    if sign is Sign.EQUAL and truth.alike:
        return fact if truth.likeness is None else f"{fact}; {said} {truth.likeness}"
    return f"{fact}, not {said}" if sign is Sign.EQUAL else f"{fact}; {said} sounds otherwise"


def _place(claim: Claim, sign: Sign, truth: Truth) -> tuple[Span, str | None]:
    """Where the untruth stands, and what would be true there."""
    statement = claim.statement_span or claim.span
    if sign is Sign.UNEQUAL:
        return _resigned(claim, Sign.EQUAL)
    if truth.alike and truth.are_names:
        return _resigned(claim, Sign.SOUNDS_LIKE)
    if truth.slip is not None:
        return truth.slip.span, truth.slip.right
    if sign is Sign.SOUNDS_LIKE and truth.right is None:
        return statement, truth.right_alike
    return statement, truth.right


def _resigned(claim: Claim, sign: Sign) -> tuple[Span, str | None]:
    """The claim with another sign: nothing on either side is wrong but what joins them."""
    one_line = claim.statement_span is not None and claim.statement_span.line == claim.span.line
    text = f"{claim.noun.value}: {claim.subject_text} {sign.value} {claim.statement_text}"
    return claim.span, text if one_line else None
