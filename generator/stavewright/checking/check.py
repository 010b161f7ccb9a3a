"""Checks one music block: what the parser found, and what the rules find."""

from collections.abc import Iterator

from stavewright.checking.registry import BLOCK_RULES, LISTENING_RULES
from stavewright.checking.styles import ADVICE_RULES, STYLES
from stavewright.checking.untimed import in_time
from stavewright.notation import Block
from stavewright.notation.finding import Finding, in_order
from stavewright.notation.score import Score


def check_block(block: Block) -> tuple[Finding, ...]:
    """All findings of a block in file order, those that its `accept:` lines silence left out."""
    accepted = {accept.rule for accept in block.score.accepts}
    found = (*block.findings, *_by_rules(block.score, readable=not _is_broken(block)))
    return in_order(finding for finding in found if finding.rule not in accepted)


def _is_broken(block: Block) -> bool:
    """Whether something in the block could not be read, so that notes may be missing."""
    return any(finding.rule == "syntax" for finding in block.findings)


def _by_rules(score: Score, *, readable: bool) -> Iterator[Finding]:
    score = in_time(score)
    style = STYLES.get(score.style or "")
    silent = ADVICE_RULES - style.asks if style is not None else ADVICE_RULES
    if not readable:
        silent |= LISTENING_RULES
    for rule in BLOCK_RULES:
        if rule.check is not None and rule.id not in silent:
            yield from rule.check(score)
