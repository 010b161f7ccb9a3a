"""Measures the theory core, the checks, builds and the preview, and prints tables.

    python -m tests.benchmarks.measure                  everything
    python -m tests.benchmarks.measure real planted     some parts
    python -m tests.benchmarks.measure planted --seed 7 --sample 500 --examples

    python -m tests.benchmarks.measure builds latency --articles 1000 --more 10000

Parts: agreement, real, planted, speed, which need music21 and its corpora; builds and latency,
which need a chromium and a quarter of an hour of a machine that does nothing else. What is written
to disk is written to temporary folders.
"""

from __future__ import annotations

import argparse
from collections import Counter
from typing import TYPE_CHECKING

from tests.benchmarks import agreement, building, latency, planted, real_music, speed
from tests.benchmarks.planted import Offer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.benchmarks.planted import Tally

PARTS = ("agreement", "real", "planted", "speed", "builds", "latency")


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description="Measure the theory core and the checks.")
    parser.add_argument("parts", nargs="*", metavar="part", help=f"{', '.join(PARTS)}; or all")
    parser.add_argument("--seed", type=int, default=1, help="of the planted mistakes")
    parser.add_argument("--sample", type=int, default=300, help="planted mistakes of each kind")
    parser.add_argument("--examples", action="store_true", help="print what cannot be told")
    parser.add_argument("--articles", type=int, default=1000, help="of the site that is built")
    parser.add_argument("--more", type=int, help="articles of a second site, to compare")
    parser.add_argument("--edits", type=int, default=100, help="of each kind in the preview")
    chosen = parser.parse_args(arguments)
    parts = chosen.parts or PARTS
    unknown = set(parts) - set(PARTS)
    if unknown:
        parser.error(
            f"no part is called {', '.join(sorted(unknown))}; there are {', '.join(PARTS)}"
        )
    if "agreement" in parts:
        print_agreement()
    if "real" in parts:
        print_real()
    if "planted" in parts:
        print_planted(chosen.seed, chosen.sample, examples=chosen.examples)
    if "speed" in parts:
        print_speed()
    if "builds" in parts:
        print_builds(chosen.articles, chosen.more, chosen.seed)
    if "latency" in parts:
        print_latency(chosen.articles, chosen.edits, chosen.seed)


def print_agreement() -> None:
    print("\nAgreement\n")
    print(f"{'table':44}{'cases':>8}{'agree':>8}{'differ':>8}  reasons written")
    for each in agreement.all_agreements():
        differ = each.cases - each.agreeing
        told = sum(bool(why) for _, _, why in each.differing)
        print(
            f"{each.what:44}{each.cases:>8}{each.agreeing:>8}{differ:>8}"
            f"  {told}/{len(each.differing)}"
        )
        for title, count, why in each.differing:
            print(f"    {title} ({count}): {why or 'NO REASON WRITTEN'}")


def print_real() -> None:
    print("\nReal music\n")
    print(
        f"{'music':28}{'pieces':>7}{'bars':>7}{'labels':>7}{'right':>7}{'false':>7}"
        "  false per 100 bars"
    )
    for corpus in real_music.measure():
        right, false = sum(corpus.right.values()), sum(corpus.false.values())
        print(
            f"{corpus.name:28}{corpus.pieces:>7}{corpus.bars:>7}{corpus.labels:>7}"
            f"{right:>7}{false:>7}  {corpus.per_hundred(false):.2f}"
        )
        for rule in sorted({*corpus.right, *corpus.false}):
            count = corpus.false[rule]
            print(
                f"    {rule:24}right {corpus.right[rule]:>3}  false {count:>3}  "
                f"{corpus.per_hundred(count):.2f} per 100 bars"
            )
        for line in corpus.unread:
            print(f"    not read yet: {line}")


def print_planted(seed: int, sample: int, *, examples: bool) -> None:
    print(f"\nPlanted mistakes (seed {seed}, up to {sample} of each kind)\n")
    print(
        f"{'kind':24}{'planted':>8}{'caught':>8}{'at place':>9}{'exactly':>9}"
        f"{'offers':>8}{'restore':>9}{'agree':>7}{'wrong':>7}{'not told':>10}"
    )
    for kind, tally in planted.measure(seed, sample).items():
        print(f"{kind.value:24}{_row(tally)}")
        for reason, count in tally.not_told.most_common():
            print(f"    cannot be told ({count}): {reason}")
            if examples:
                mistake = tally.examples[reason]
                print(
                    f"        {mistake.was} became {mistake.became}, line {mistake.place.line} of"
                )
                print("".join(f"        | {line}\n" for line in mistake.text.splitlines()), end="")


def _row(tally: Tally) -> str:
    count = len(tally.outcomes)
    if not count:
        return f"{0:>8}"
    offers = Counter(each.offer for each in tally.caught)
    made = sum(offers.values()) - offers[Offer.NONE]
    shares = [
        len(tally.caught) / count,
        sum(each.there for each in tally.outcomes) / count,
        sum(each.exactly for each in tally.outcomes) / count,
    ]
    caught, there, exactly = (f"{100 * share:.1f}%" for share in shares)
    rest = [offers[Offer.RESTORES], offers[Offer.AGREES], offers[Offer.WRONG]]
    return (
        f"{count:>8}{caught:>8}{there:>9}{exactly:>9}{made:>8}"
        f"{rest[0]:>9}{rest[1]:>7}{rest[2]:>7}{sum(tally.not_told.values()):>10}"
    )


def print_speed() -> None:
    print("\nSpeed (operations in a second, one process)\n")
    print(f"{'task':46}{'ours':>12}{'music21':>12}{'ratio':>9}")
    for race in speed.races():
        print(f"{race.what:46}{race.ours:>12.1f}{race.theirs:>12.1f}{race.ratio:>8.0f}x")
    checking = speed.checking()
    print(
        f"\n{checking.blocks} blocks: parsed twice {checking.parse_twice:.2f} s, "
        f"parsed and checked {checking.check:.2f} s, ratio {checking.ratio:.2f}"
    )


def print_builds(articles: int, more: int | None, seed: int) -> None:
    print(f"\nBuilds (seed {seed}, {building.WORKERS} workers; seconds, or what is named)\n")
    print(f"{'ratio':64}{'value':>8}{'at most':>9}          made of")
    for each in building.ratios(articles, more, seed):
        target = "" if each.target is None else f"{each.target:g}"
        print(f"{each.what:64}{each.value:>8.3f}{target:>9}  {each.verdict:8}{each.told}")


def print_latency(articles: int, edits: int, seed: int) -> None:
    print(f"\nPreview of {articles} articles\n")
    for waits in latency.measure(articles, edits, seed):
        print(waits.line())


if __name__ == "__main__":
    main()
