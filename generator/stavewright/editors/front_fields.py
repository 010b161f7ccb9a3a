"""The fields of the front matter, in a few words each."""

from typing import Final

from stavewright.articles.front_matter import FENCE
from stavewright.editors.document import Document

FRONT_FIELDS: Final = (
    ("title", "of the page"),
    ("summary", "one or two sentences, for lists and the feed"),
    ("kind", "article, handbook or page"),
    ("date", "when it was first published"),
    ("updated", "when it was last corrected"),
    ("order", "its place among its neighbors"),
    ("address", "where the page lives below the site's root"),
    ("question", "the viewer's question"),
    ("video", "its address, length and still"),
    ("credits", "who is to be thanked"),
    ("rights", "whose music is quoted"),
    ("disclosure", "what must be disclosed"),
    ("draft", "true for a page that is not published yet"),
)
"""Those of `articles.article.FrontMatter`; a test holds the two together."""


def in_front_matter(document: Document, line: int) -> bool:
    """Whether a line stands in the front matter, which may still have to be closed."""
    if document.line(1).rstrip() != FENCE or line == 1:
        return False
    return not any(document.line(each).rstrip() == FENCE for each in range(2, line + 1))
