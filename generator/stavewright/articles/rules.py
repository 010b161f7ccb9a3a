"""What the handbook says of the rules that are about articles rather than music.

Their findings are made where articles are read (`front_matter`, `sections`, `footnotes`) and linked
(`links`), so none has a check of its own. Each example is a whole file; where the rule needs a
glossary, the file is the glossary itself.
"""

from typing import Final

from stavewright.checking.rule import Rule
from stavewright.notation.finding import Severity

LINK: Final = Rule(
    id="link",
    severity=Severity.ERROR,
    explanation=(
        "Every link to another page, a section of a page, a picture or a footnote must lead to "
        "something that is there; links to the web are never followed. A reader who follows a dead "
        "link loses the thread, and nobody is told."
    ),
    wrong="""\
See [the answer](#the-awnser).

## The answer

Eight sharps.
""",
    right="""\
See [the answer](#the-answer).

## The answer

Eight sharps.
""",
)

TERM: Final = Rule(
    id="term",
    severity=Severity.ERROR,
    explanation=(
        "A link such as `[raised sixth](term:)` must name an entry of the glossary, and the "
        "glossary must define each of its entries once. A term that is explained twice, or not at "
        "all, leaves the reader to guess."
    ),
    wrong="""\
# Glossary

Raised sixth
: The sixth degree of minor, a half step higher.

Raised seventh
: The leading tone; often follows the [raised sixht](term:).
""",
    right="""\
# Glossary

Raised sixth
: The sixth degree of minor, a half step higher.

Raised seventh
: The leading tone; often follows the [raised sixth](term:).
""",
)

FRONT_MATTER: Final = Rule(
    id="front-matter",
    severity=Severity.ERROR,
    explanation=(
        "The fields between the `---` lines must be known, hold what they are for, and include a "
        "title and, for an article, a date; times in headings must rise and lie within the video. "
        "Lists, feeds and the video's description are made from them."
    ),
    wrong="""\
---
title: Why G# major is not on the chart
date: 2024-06-31
video:
  address: https://video.example/watch
  lenght: 12:34
---

## The answer [1:42]
""",
    right="""\
---
title: Why G# major is not on the chart
date: 2024-06-30
video:
  address: https://video.example/watch
  length: 12:34
---

## The answer [1:42]
""",
)

ADDRESS: Final = Rule(
    id="address",
    severity=Severity.ERROR,
    explanation=(
        "Every page of the site and every heading of a page needs an address of its own, made of "
        "letters, digits and hyphens. Addresses are printed in places that cannot be edited any "
        "more, so two things at one address, or one that servers read differently, cannot be put "
        "right later."
    ),
    wrong="""\
## The question {#why}

Where is G sharp major?

## The answer {#why}

Off the chart.
""",
    right="""\
## The question {#why}

Where is G sharp major?

## The answer {#because}

Off the chart.
""",
)

ARTICLE_RULES: Final[tuple[Rule, ...]] = (LINK, TERM, FRONT_MATTER, ADDRESS)
"""The rules of articles, in the order in which the handbook lists them."""
