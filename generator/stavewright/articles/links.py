"""Checks that every link of an article leads somewhere: to a file, an anchor in it, a term."""

import posixpath
import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from urllib.parse import quote

from stavewright.articles.article import Known, Link, LinkKind
from stavewright.articles.near import nearest
from stavewright.articles.paths import WINDOWS_DRIVE, resolve
from stavewright.notation.finding import Finding, Severity, in_order

_WEB_HOST = re.compile(r"www\.[\w-]+\.\w", re.IGNORECASE)
_LIKE_A_PATH = 0.85
_UNSAFE = re.compile(r"[()<>\s%]")


@dataclass(frozen=True, slots=True)
class LinkIndex:
    """What links may lead to."""

    anchors: Mapping[str, frozenset[str]]
    """For each article that was read, by its path: the anchors of its headings and terms."""
    terms: Mapping[str, str] | None
    """The glossary: names by slugs. None where no glossary was read, so that none is checked."""
    files: frozenset[str]
    """Paths known to exist, for near names too."""
    exists: Callable[[str], bool]
    """Whether there is a file at a path below the content folder."""

    @classmethod
    def of(
        cls,
        articles: Collection[Known],
        files: Iterable[str] = (),
        exists: Callable[[str], bool] | None = None,
        *,
        whole: bool = False,
    ) -> "LinkIndex":
        """The index of these articles and files; `exists` answers for files not listed.

        `whole` says that these are all there are: where no glossary is among them, there is none.
        """
        anchors = {article.path: anchors_of(article) for article in articles}
        known = frozenset(files) | anchors.keys()
        glossaries = [article for article in articles if article.terms]
        terms = {term.slug: term.name for article in glossaries for term in article.terms}
        return cls(
            anchors, terms if glossaries or whole else None, known, exists or known.__contains__
        )


def anchors_of(article: Known) -> frozenset[str]:
    """Every anchor that a link into this article may name."""
    headings = (heading.anchor for heading in article.headings)
    return frozenset([*headings, *(term.slug for term in article.terms)])


def check_links(article: Known, index: LinkIndex) -> tuple[Finding, ...]:
    """Findings of the rules `link` and `term`."""
    findings: list[Finding] = []
    for link, path in zip(article.links, article.reaches, strict=True):
        if link.kind is LinkKind.TERM:
            findings += _check_term(link, index)
        elif link.kind is not LinkKind.OUTSIDE:
            findings += _check_path(article, link, path, index)
    still = article.front.video.still if article.front.video else None
    span = article.front_span("video.still")
    if still is not None and span is not None:
        link = Link(LinkKind.FILE, still, "", "", span)
        findings += _check_path(article, link, resolve(article.path, still), index)
    return in_order(findings)


def _check_term(link: Link, index: LinkIndex) -> Iterator[Finding]:
    if index.terms is None or link.target in index.terms:
        return
    near = nearest(link.target, index.terms)
    name = link.target or link.text
    meant = f"; did you mean `{index.terms[near]}`?" if near else ""
    yield Finding(
        "term",
        Severity.ERROR,
        link.span,
        f"The glossary has no term `{name}`{meant}"
        if index.terms
        else f"There is no glossary yet, so the term `{name}` leads nowhere",
        suggestion=f"term:{near}" if near else None,
        reason="A term is an entry of a definition list in `glossary.md`.",
    )


def _check_path(
    article: Known, link: Link, path: str | None, index: LinkIndex
) -> Iterator[Finding]:
    if path is None:
        yield _unreachable(article, link, index)
    elif path not in index.files and not index.exists(path):
        yield _missing(article, link, path, index)
    elif link.anchor and path in index.anchors and link.anchor not in index.anchors[path]:
        yield _no_anchor(link, path, index.anchors[path])


def _unreachable(article: Known, link: Link, index: LinkIndex) -> Finding:
    target = link.target
    inside = posixpath.normpath(target.replace("\\", "/")).lstrip("./")
    known = inside if inside in index.files else _near_path(inside, index)
    message = (
        f"`{target}` is an absolute path; links lead from this article's own folder"
        if target.startswith("/") or WINDOWS_DRIVE.match(target)
        else f"`{target}` has a backslash; folders in links are parted by `/`"
        if "\\" in target
        else f"`{target}` leads out of the content folder"
    )
    return Finding(
        "link",
        Severity.ERROR,
        link.span,
        message,
        _written(article, link, known) if known else None,
    )


def _missing(article: Known, link: Link, path: str, index: LinkIndex) -> Finding:
    if _WEB_HOST.match(link.target):
        return Finding(
            "link",
            Severity.ERROR,
            link.span,
            f"There is no file `{link.target}`; an address on the web begins with https://",
            suggestion=f"https://{_destination(link.target)}",
        )
    near = _near_path(path, index)
    meant = f"; did you mean `{_relative(article.path, near)}`?" if near else ""
    return Finding(
        "link",
        Severity.ERROR,
        link.span,
        f"There is no file `{link.target}`{meant}",
        suggestion=_written(article, link, near) if near else None,
    )


def _no_anchor(link: Link, path: str, anchors: frozenset[str]) -> Finding:
    near = nearest(link.anchor, anchors)
    place = f"`{path}`" if link.target else "This article"
    meant = f"; did you mean `#{near}`?" if near else ""
    return Finding(
        "link",
        Severity.ERROR,
        link.span,
        f"{place} has no heading with the anchor `{link.anchor}`{meant}",
        suggestion=f"{_destination(link.target)}#{quote(near)}" if near else None,
        reason="The anchor of a heading is made of its words, unless `{#anchor}` names another.",
    )


def _near_path(path: str, index: LinkIndex) -> str | None:
    """A file of the same name in another folder, or one nearby with a name much like it.

    Endings and folders are left out of the comparison: they make every path look like every other.
    """
    folder, name = posixpath.split(path)
    moved = sorted(file for file in index.files if posixpath.basename(file) == name)
    if len(moved) == 1:
        return moved[0]
    stem, ending = posixpath.splitext(name)
    beside = {
        posixpath.splitext(posixpath.basename(file))[0]: file
        for file in sorted(index.files)
        if posixpath.dirname(file) == folder and posixpath.splitext(file)[1] == ending
    }
    near = nearest(stem, beside)
    return beside[near] if near else nearest(path, index.files, _LIKE_A_PATH)


def _relative(origin: str, path: str) -> str:
    return posixpath.relpath(path, posixpath.dirname(origin) or ".")


def _written(article: Known, link: Link, path: str) -> str:
    """A destination as an author would write it, with the anchor that stood there."""
    anchor = f"#{quote(link.anchor)}" if link.anchor else ""
    return _destination(_relative(article.path, path)) + anchor


def _destination(target: str) -> str:
    """A path fit to stand between the parentheses of a link."""
    return quote(target) if _UNSAFE.search(target) else target
