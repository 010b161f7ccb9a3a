"""One article from its bytes to all that can be made of it alone: a pure function."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import partial

from markupsafe import Markup

from stavewright.articles.article import Article, Kind
from stavewright.articles.check import find_in
from stavewright.articles.read import read_bytes
from stavewright.articles.render import render_body
from stavewright.articles.typeset import typeset_claim
from stavewright.figures import EngravingFault, Figure, draw
from stavewright.figures.figure import Engraver
from stavewright.figures.sound import encode_claim, perform_claim
from stavewright.notation import Block, Claim
from stavewright.notation.finding import Finding, Severity, in_order
from stavewright.site.addresses import relative_href
from stavewright.site.errors import working_on
from stavewright.site.figure_views import figure_view
from stavewright.site.hearing import Heard, hear
from stavewright.site.making.body import Body, address_hole, note_hole
from stavewright.site.making.essence import Essence
from stavewright.site.making.made import KeptFile, Made, Order
from stavewright.site.making.manner import Manner
from stavewright.site.making.notes import note
from stavewright.site.map import place_of
from stavewright.site.render import Renderer
from stavewright.site.social_style import SocialPicture

Announce = Callable[[int | None], None]
"""Told of each block before it is drawn, by its index in the article; None when all are drawn."""


def make(
    order: Order,
    manner: Manner,
    renderer: Renderer,
    engraver: Engraver,
    announce: Announce = lambda _: None,
    undrawable: Mapping[int, str] | None = None,
) -> Made:
    """Read, check and draw an article, and set it as HTML.

    `undrawable` are blocks not to be tried, with what to say of each. Raises `ThemeError` where the
    figure template cannot be filled in.
    """
    with working_on(f"reading {order.file}"):
        article = read_bytes(order.path, order.data, order.file, raw_html=manner.raw_html)
    with working_on(f"checking {order.file}"):
        found = find_in(article)
    drawn = _draw_all(article, found.all, engraver, announce, undrawable or {})
    address = place_of(article, order.file)[0].address
    with working_on(f"setting {order.file}"):
        figures, files = _figures(drawn, address, renderer)
        claims = {
            index: _claim(claim, found.claims[index]) for index, claim in enumerate(article.claims)
        }
        body = _body(article, figures, claims, manner)
    picture, pictured = _picture(article, drawn, manner)
    files = (*files, *pictured)
    undrawn = [finding for each in drawn for finding in each.undrawn]
    essence = Essence.of(
        article,
        in_order([*found.all, *undrawn]) if undrawn else found.all,
        tuple(file.path for file in files),
        picture,
    )
    return Made(essence, body, files, lasting=not undrawable)


class _Drawn:
    """A block and what came of it."""

    def __init__(self, block: Block, errors: tuple[Finding, ...]) -> None:
        self.block = block
        self.errors = errors
        """Why it has no figures."""
        self.undrawn: tuple[Finding, ...] = ()
        """Those of the errors that drawing brought up."""
        self.figures: tuple[Figure, ...] = ()

    def fail(self, messages: Iterable[str]) -> None:
        self.undrawn = self.errors = tuple(_finding(self.block, message) for message in messages)


def _draw_all(
    article: Article,
    findings: Sequence[Finding],
    engraver: Engraver,
    announce: Announce,
    undrawable: Mapping[int, str],
) -> list[_Drawn]:
    """Draw every block that has no error; what cannot be drawn is a finding."""
    errors = [finding for finding in findings if finding.severity is Severity.ERROR]
    drawn = []
    for index, block in enumerate(article.blocks):
        each = _Drawn(block, _inside(block, errors))
        drawn.append(each)
        if each.errors:
            continue
        if index in undrawable:
            each.fail([undrawable[index]])
            continue
        announce(index)
        with working_on(f"drawing {block.source.fence}"):
            results = draw(block.score, engraver)
        faults = [result.message for result in results if isinstance(result, EngravingFault)]
        if faults:
            each.fail(faults)
        else:
            each.figures = tuple(result for result in results if isinstance(result, Figure))
    announce(None)
    return drawn


def _inside(block: Block, errors: Iterable[Finding]) -> tuple[Finding, ...]:
    """The errors among the lines of a block."""
    first = block.source.fence.line
    last = max([first, *(line.line for line in block.source.lines)])
    return tuple(finding for finding in errors if first <= finding.span.line <= last)


def _finding(block: Block, message: str) -> Finding:
    words = f"{message[:1].upper()}{message[1:]}"
    reason = "The block reads well, but nothing can be drawn from it as it stands."
    return Finding("syntax", Severity.ERROR, block.source.fence, words, reason=reason)


def _figures(
    drawn: Sequence[_Drawn], address: str, renderer: Renderer
) -> tuple[dict[int, Markup], tuple[KeptFile, ...]]:
    """Each block as it stands in the page at `address`, and the files that the figures offer."""
    figures = {}
    kept: dict[str, KeptFile] = {}
    for index, each in enumerate(drawn):
        heard = Heard()
        if not each.errors:
            heard = hear(each.block.score, address, index + 1, each.figures)
        kept.update((file.path, file) for file in heard.files)
        downloads = heard.downloads(partial(relative_href, address))
        view = figure_view(each.block, index + 1, each.figures, each.errors, heard.sound, downloads)
        figures[index] = renderer.figure(view)
    return figures, tuple(kept.values())


def _picture(
    article: Article, drawn: Sequence[_Drawn], manner: Manner
) -> tuple[SocialPicture | None, tuple[KeptFile, ...]]:
    """The picture for shared links, of the article's first figure; none where none can be."""
    first = next((each.figures[0] for each in drawn if each.figures), None)
    if manner.social is None or first is None or article.front.kind is not Kind.ARTICLE:
        return None, ()
    from stavewright.site.social import picture_file  # here: most sites have none to draw

    with working_on(f"picturing {article.path}"):
        picture, data = picture_file(article.front.title, first, manner.social)
    return picture, (KeptFile(picture.path, data),)


def _body(
    article: Article, figures: Mapping[int, Markup], claims: Mapping[int, str], manner: Manner
) -> Body:
    anchor, rest = _without_title(article)
    places = {id(link): index for index, link in enumerate(article.links)}
    return Body.cut(
        anchor
        + render_body(
            rest,
            figures,
            claims,
            lambda link: address_hole(places[id(link)]),
            notes={index: note_hole(index) for index in range(len(article.links))},
            places=manner.places,
        )
    )


def _without_title(article: Article) -> tuple[str, Article]:
    """An article whose text does not say its title again, and the anchor of what is left out.

    A bare file has its first heading for a title, and every page prints its title by itself.
    """
    opening = next(iter(article.tokens), None)
    if article.has_front_matter or opening is None or opening.tag != "h1":
        return "", article
    heading = article.headings[opening.meta["heading"]]
    has_notes = any(token.type == "footnote_ref" for token in article.tokens[1].children or ())
    if has_notes or heading.text != article.front.title:
        return "", article
    anchor = Markup('<span id="{}"></span>').format(heading.anchor)
    return str(anchor), replace(article, tokens=article.tokens[3:])


def _claim(claim: Claim, findings: Iterable[Finding]) -> str:
    """A claim; one that is false, in a build that keeps going, says so on the spot."""
    sound = perform_claim(claim)
    typeset = typeset_claim(claim, encode_claim(sound) if sound else None)
    errors = [fault for fault in findings if fault.severity is Severity.ERROR]
    return typeset + note("claim-finding", errors) if errors else typeset
