"""The shapes of music glyphs, once in each page that shows them.

They are put in after the template has had its say, so that no theme can forget them.
"""

import re
from typing import Final

from stavewright.figures import glyph_sheet, glyphs_in

_BODY: Final = re.compile(r"<body\b[^>]*>")


def with_glyphs(page: str) -> str:
    """The page with the shapes of the glyphs that its drawings name, at the start of its body."""
    sheet = glyph_sheet(glyphs_in(page))
    if not sheet:
        return page
    body = _BODY.search(page)
    # A page may leave the tag out; a browser then opens the body by itself.
    place = body.end() if body else len(page)
    return f"{page[:place]}\n{sheet}{page[place:]}"
