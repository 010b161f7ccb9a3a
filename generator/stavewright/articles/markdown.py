"""Markdown as articles use it: CommonMark with tables, footnotes and definition lists.

The parser gives block tokens the lines they come from and inline tokens nothing. The rules below
are the parser's own, wrapped so that they note in `token.meta` where in the text of their block
they matched: `start` and `end` of a code span, link, picture or tag, `to` and `to_end` of a link's
destination, and `offset`, where in its line a table row begins. `places.py` makes spans of them.
Links by reference have `label`, the name of their definition.
"""

from collections.abc import Callable
from functools import cache

from markdown_it import MarkdownIt
from markdown_it.helpers import parseLinkDestination, parseLinkLabel
from markdown_it.rules_block import StateBlock, table
from markdown_it.rules_inline import StateInline, autolink, backtick, html_inline, image, link
from markdown_it.token import Token
from mdit_py_plugins.deflist import deflist_plugin
from mdit_py_plugins.footnote import footnote_plugin

from stavewright.articles.headings import split_headings

MAX_NESTING = 30
"""Quotes in lists in quotes: deeper than anyone writes, shallower than Python's stack."""


class _ReadsAnyLink(MarkdownIt):
    """Reads every link as one, so that `destinations.py` can say which may lead nowhere and why."""

    def validateLink(self, _: str) -> bool:  # noqa: N802 - the parser's name
        """Whether a destination makes a link."""
        return True


_InlineRule = Callable[[StateInline, bool], bool]
_WHITE_SPACE = " \t\n"


@cache
def parser(*, raw_html: bool = False) -> MarkdownIt:
    """The configured parser. With `raw_html` the dangerous links are left to it, else to us."""
    options = {"html": True, "maxNesting": MAX_NESTING, "store_labels": True}
    kind = MarkdownIt if raw_html else _ReadsAnyLink
    markdown = kind("commonmark", options).enable("table")
    footnote_plugin(markdown, inline=False)
    deflist_plugin(markdown)
    markdown.block.ruler.at("table", _placed_table, {"alt": ["paragraph", "reference"]})
    markdown.inline.ruler.at("backticks", _placed(backtick, "code_inline"))
    markdown.inline.ruler.at("link", _placed(link, "link_open"))
    markdown.inline.ruler.at("image", _placed(image, "image"))
    markdown.inline.ruler.at("autolink", _placed(autolink, "link_open"))
    markdown.inline.ruler.at("html_inline", _placed(html_inline, "html_inline"))
    markdown.core.ruler.before("inline", "split_headings", split_headings)
    return markdown


def _placed(rule: _InlineRule, token_type: str) -> _InlineRule:
    """The rule, made to note where it matched."""

    def placed_rule(state: StateInline, silent: bool) -> bool:
        start, before = state.pos, len(state.tokens)
        if not rule(state, silent):
            return False
        if not silent:
            # Text before it and, for a link, everything inside it may have become tokens too.
            token = next((t for t in state.tokens[before:] if t.type == token_type), None)
            if token is not None:
                token.meta |= {"start": start, "end": state.pos}
                token.meta |= _destination(state, start, token)
        return True

    return placed_rule


def _destination(state: StateInline, start: int, token: Token) -> dict[str, int]:
    """Where the destination of a link or picture stands; empty for one given by reference."""
    if token.type in {"code_inline", "html_inline"}:
        return {}
    if token.markup == "autolink":
        return {"to": start + 1, "to_end": state.pos - 1}
    bracket = start + (1 if token.type == "image" else 0)
    opening = parseLinkLabel(state, bracket, token.type != "image") + 1
    if not (0 < opening < state.pos and state.src[opening] == "("):
        return {}
    at = opening + 1
    while at < state.pos and state.src[at] in _WHITE_SPACE:
        at += 1
    found = parseLinkDestination(state.src, at, state.pos)
    if not found.ok or found.pos >= state.pos:
        return {}
    pointed = state.src[at] == "<"
    return {"to": at + pointed, "to_end": found.pos - pointed}


def _placed_table(state: StateBlock, start_line: int, end_line: int, silent: bool) -> bool:
    """The rule for tables, made to note where in its line each row begins."""
    before = len(state.tokens)
    if not table(state, start_line, end_line, silent):
        return False
    for token in state.tokens[before:]:
        if token.type == "tr_open" and token.map:
            line = token.map[0]
            place = state.bMarks[line] + state.tShift[line]
            token.meta["offset"] = place - (state.src.rfind("\n", 0, place) + 1)
    return True
