"""An article's body as HTML: its Markdown with the figures and claims put in their places."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from html import escape

from markdown_it.renderer import RendererHTML
from markdown_it.token import Token

from stavewright.articles.article import Article, Heading, Link, LinkKind
from stavewright.articles.markdown import parser
from stavewright.articles.plain import plain_text
from stavewright.articles.sanitise import Marks, clean
from stavewright.articles.video import address_at, format_timecode


@dataclass(frozen=True, slots=True)
class BodyWords:
    """The words that rendering adds to an article, for themes in other languages."""

    section_link: str = "Link to this section: {heading}"
    watch_from: str = "Watch this section in the video, from {time}"
    footnotes: str = "Footnotes"
    footnote: str = "Footnote {number}"
    back: str = "Back to the text from footnote {number}"


ENGLISH = BodyWords()


def render_body(
    article: Article,
    figures: Mapping[int, str],
    claims: Mapping[int, str],
    href: Callable[[Link], str],
    words: BodyWords = ENGLISH,
    *,
    notes: Mapping[int, str] | None = None,
    places: bool = False,
) -> str:
    """The article as HTML, without its front matter.

    `figures` and `claims` give the markup that stands for each block and claim, by its index in the
    article; one that is missing is shown as the author typed it. `href` gives the address a link or
    picture gets in the page, and `notes` the markup that follows one, by its index. With `places`
    each paragraph, heading, item and row says in `data-line` on which line of the file it begins.
    HTML of the author's is cleaned, unless the article was read so that it is let through.
    """
    if not any(map(_has_own_html, article.tokens)):
        renderer = _BodyRenderer(article, figures, claims, href, notes or {}, words, places)
        return renderer.render(article.tokens)
    marks = Marks()
    marked = [marks.mark_all(pieces) for pieces in (figures, claims, notes or {})]
    renderer = _BodyRenderer(article, marked[0], marked[1], href, marked[2], words, places)
    return marks.fill(clean(renderer.render(article.tokens)))


def _has_own_html(token: Token) -> bool:
    """Whether there is HTML in a token that must be cleaned."""
    if token.type in {"html_block", "html_inline"}:
        return not token.meta.get("is_raw", False)
    return any(map(_has_own_html, token.children or ()))


_FIXED = {
    "softbreak": "\n",
    "hardbreak": "<br>\n",
    "hr": "<hr>\n",
    # A box of its own, so that a wide table can scroll on a narrow screen.
    "table_open": '<div class="table"><table>\n',
    "table_close": "</table></div>\n",
    "footnote_block_close": "</ol>\n</section>\n",
    "footnote_close": "</li>\n",
}
"""Tokens that are always set alike."""

_PLACED = {
    "paragraph_open",
    "heading_open",
    "list_item_open",
    "tr_open",
    "dt_open",
    "dd_open",
    "blockquote_open",
    "code_block",
    "fence",
}
"""Tokens whose element can say where it stands in the author's file."""


class _BodyRenderer:
    """Sets each token by the method of its type; the parser's own renderer sets the others."""

    def __init__(
        self,
        article: Article,
        figures: Mapping[int, str],
        claims: Mapping[int, str],
        href: Callable[[Link], str],
        notes: Mapping[int, str],
        words: BodyWords,
        places: bool,
    ) -> None:
        self._article = article
        self._figures = figures
        self._claims = claims
        self._href = href
        self._notes = notes
        self._words = words
        self._placed = _PLACED if places else frozenset()
        self._open_links: list[int] = []
        self._heading: Heading | None = None
        self._plain = RendererHTML()
        self._rules: dict[str, Callable[[Token], str]] = {
            "text": lambda token: escape(token.content),
            "html_block": lambda token: token.meta["html"],
            "html_inline": lambda token: token.meta["html"],
            "code_block": self._code,
            "fence": self._fence,
            "code_inline": self._code_inline,
            "link_open": self._link_open,
            "link_close": lambda _: f"</a>{self._notes.get(self._open_links.pop(), '')}",
            "image": self._image,
            "heading_open": self._heading_open,
            "heading_close": self._heading_close,
            "dt_open": self._dt_open,
            "th_open": lambda token: f'<th scope="col"{_alignment(token)}>',
            "td_open": lambda token: f"<td{_alignment(token)}>",
            "footnote_ref": self._footnote_ref,
            "footnote_block_open": self._footnotes_open,
            "footnote_open": lambda token: f'<li id="fn:{_footnote(token)[0]}">',
            "footnote_anchor": self._footnote_back,
        }

    def render(self, tokens: Sequence[Token]) -> str:
        """The tokens as HTML."""
        parts: list[str] = []
        for index, token in enumerate(tokens):
            if token.type in self._placed and token.map and not token.hidden:
                parts.append(_with_line(self._one(tokens, index), token.map[0] + 1))
            else:
                parts.append(self._one(tokens, index))
        return "".join(parts)

    def _one(self, tokens: Sequence[Token], index: int) -> str:
        token = tokens[index]
        if token.type == "inline":
            return self.render(token.children or ())
        if token.type in _FIXED:
            return _FIXED[token.type]
        if token.type in self._rules:
            return self._rules[token.type](token)
        return self._plain.renderToken(tokens, index, parser().options, {})

    def _fence(self, token: Token) -> str:
        figure = self._figures.get(token.meta.get("block", -1))
        return self._code(token) if figure is None else figure + "\n"

    def _code(self, token: Token) -> str:
        language = token.info.split(maxsplit=1)[:1]
        name = f' class="language-{escape(language[0])}"' if language else ""
        # What may be wider than the screen is scrolled, and can be reached without a mouse.
        return f'<pre tabindex="0"><code{name}>{escape(token.content)}</code></pre>\n'

    def _code_inline(self, token: Token) -> str:
        claim = self._claims.get(token.meta.get("claim", -1))
        return f"<code>{escape(token.content)}</code>" if claim is None else claim

    def _link_open(self, token: Token) -> str:
        index = int(token.meta["link"])
        self._open_links.append(index)
        link = self._article.links[index]
        if "dead" in token.meta:
            return "<a>"
        kind = ' class="term"' if link.kind is LinkKind.TERM else ""
        return f'<a{kind} href="{escape(self._href(link))}"{_title(token)}>'

    def _image(self, token: Token) -> str:
        index = int(token.meta["link"])
        alt = escape(plain_text(token.children or ()))
        if "dead" in token.meta:
            return alt
        source = escape(self._href(self._article.links[index]))
        picture = f'<img src="{source}" alt="{alt}"{_title(token)} loading="lazy" decoding="async">'
        return picture + self._notes.get(index, "")

    def _heading_open(self, token: Token) -> str:
        self._heading = self._article.headings[int(token.meta["heading"])]
        return f'<{token.tag} id="{escape(self._heading.anchor)}">'

    def _heading_close(self, token: Token) -> str:
        """The links of a heading: into the video and to itself."""
        heading = self._heading
        if heading is None:
            return f"</{token.tag}>\n"
        label = escape(self._words.section_link.format(heading=heading.text))
        anchor = escape(heading.anchor)
        own = f' <a class="heading-link" href="#{anchor}" aria-label="{label}">#</a>'
        return f"{self._time_link(heading)}{own}</{token.tag}>\n"

    def _time_link(self, heading: Heading) -> str:
        video = self._article.front.video
        if heading.seconds is None or video is None:
            return ""
        time = format_timecode(heading.seconds)
        address = escape(address_at(video, heading.seconds))
        label = escape(self._words.watch_from.format(time=time))
        return f' <a class="heading-time" href="{address}" aria-label="{label}">{time}</a>'

    def _dt_open(self, token: Token) -> str:
        """A term; in the glossary with its anchor."""
        index = token.meta.get("term")
        return "<dt>" if index is None else f'<dt id="{escape(self._article.terms[index].slug)}">'

    def _footnote_ref(self, token: Token) -> str:
        number, place = _footnote(token)
        label = escape(self._words.footnote.format(number=number))
        return (
            f'<sup class="footnote-ref"><a href="#fn:{number}" id="fnref:{place}" '
            f'role="doc-noteref" aria-label="{label}">{number}</a></sup>'
        )

    def _footnotes_open(self, _: Token) -> str:
        label = escape(self._words.footnotes)
        return f'<section class="footnotes" role="doc-endnotes" aria-label="{label}">\n<ol>\n'

    def _footnote_back(self, token: Token) -> str:
        """The way back from a footnote to one of the places that refer to it."""
        number, place = _footnote(token)
        label = escape(self._words.back.format(number=number))
        # U+FE0E keeps the arrow a letter where it might become a picture.
        return (
            f' <a class="footnote-back" href="#fnref:{place}" role="doc-backlink" '
            f'aria-label="{label}">\u21a9\ufe0e</a>'
        )


def _with_line(markup: str, line: int) -> str:
    """The markup, its first element saying on which line of the file it begins."""
    head, bracket, rest = markup.partition(">")
    return f'{head} data-line="{line}">{rest}' if bracket else markup


def _title(token: Token) -> str:
    title = token.attrs.get("title")
    return f' title="{escape(str(title))}"' if title else ""


def _alignment(token: Token) -> str:
    """A class for the alignment that the parser gives as a style."""
    style = str(token.attrs.get("style", ""))
    side = style.removeprefix("text-align:")
    return f' class="align-{escape(side)}"' if side else ""


def _footnote(token: Token) -> tuple[int, str]:
    """The number of a footnote, and of a reference to it: `2`, `2:1` for the second reference.

    Colons keep these ids apart from anchors, which have none.
    """
    number = int(token.meta["id"]) + 1
    again = int(token.meta.get("subId", 0))
    return number, f"{number}:{again}" if again > 0 else str(number)
