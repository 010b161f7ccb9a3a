"""What the preview adds to a page, and the pages it shows where there is none to show."""

import json
from urllib.parse import quote

from markupsafe import Markup

from stavewright.notation.finding import Finding, Severity
from stavewright.preview.findings_page import ADDRESS as FINDINGS
from stavewright.preview.findings_page import finding_item
from stavewright.preview.snapshot import Snapshot
from stavewright.site.report import counted

_HEAD = Markup(
    '<link rel="stylesheet" href="/_preview/preview.css">'
    # First of all scripts: it keeps the page as it was sent, before others work on it.
    '<script type="module" src="/_preview/preview.js"></script>'
)
_PANEL = Markup(
    '<aside class="stavewright-preview" id="stavewright-preview" aria-label="Preview"'
    ' data-news="{news}" data-scripts="{scripts}">'
    '<p class="status" role="status"></p>'
    '<div class="bar">{list}'
    '<label class="follow" hidden><input type="checkbox" autocomplete="off"> '
    "Follow what I save</label></div></aside>"
)
_LIST = Markup("<details><summary>{summary}</summary>{items}</details>{first}{all}")
_FIRST = Markup(
    '<p class="first"><a href="{address}?line={line}">Line {line}</a>: <span>{message}</span></p>'
)
_ALL = Markup('<a class="all" href="{address}">All findings ({number})</a>')
_NONE = Markup('<p class="none">Nothing found</p>')
_PAGE = Markup(
    '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
    '<meta name="viewport" content="width=device-width, initial-scale=1">'
    '<meta name="color-scheme" content="light dark"><link rel="icon" href="data:,">'
    "<title>{title}</title></head>"
    '<body class="stavewright-own"><main><h1>{title}</h1>{text}</main></body></html>\n'
)


def with_preview(html: str, address: str, snapshot: Snapshot, scripts: str) -> str:
    """A page with the preview's script and panel. `scripts` changes when the site's own do."""
    panel = _PANEL.format(
        news=json.dumps(snapshot.news(address), ensure_ascii=False),
        scripts=scripts,
        list=_list(address, snapshot),
    )
    text = _insert_after(html, "<head>", _HEAD)
    return _insert_before(text, "</body>", panel)


def problem_page(snapshot: Snapshot) -> str:
    """The page shown for every address while there is no site."""
    if snapshot.problem is None:
        text = _TEXT.format("The site is being read for the first time. It appears here by itself.")
        return _PAGE.format(title="One moment", text=text)
    text = Markup("<pre>{}</pre>").format(snapshot.problem)
    text += _TEXT.format("This page comes to life when that is mended and saved.")
    return _PAGE.format(title="There is no site to show yet", text=text)


_TEXT = Markup("<p>{}</p>")


def missing_page(address: str) -> str:
    """The page for an address that is not in a site which has no such page of its own."""
    text = Markup('<p>The site has nothing at <code>{}</code>.</p><p><a href="/">Home</a></p>')
    return _PAGE.format(title="No such page", text=text.format(address))


def own_page(title: str, text: Markup) -> str:
    """A page of the preview's own."""
    return _PAGE.format(title=title, text=text)


def _insert_before(text: str, tag: str, addition: Markup) -> str:
    """Put something before a closing tag, or at the end of a page that leaves the tag out."""
    head, found, tail = text.rpartition(tag)
    return f"{head}{addition}{found}{tail}" if found else f"{text}{addition}"


def _insert_after(text: str, tag: str, addition: Markup) -> str:
    head, found, tail = text.partition(tag)
    return f"{head}{found}{addition}{tail}" if found else f"{text}{addition}"


def _list(address: str, snapshot: Snapshot) -> Markup:
    if not snapshot.findings:
        return _NONE if snapshot.seen else Markup()
    if address == FINDINGS:
        return Markup()
    whole = _ALL.format(address=FINDINGS, number=len(snapshot.findings))
    own = snapshot.own_findings(address)
    if not own:
        return Markup('<p class="none">Nothing found on this page</p>') + whole
    items = Markup().join(finding_item(finding, snapshot) for finding in own)
    worst = min(own, key=lambda finding: finding.severity is not Severity.ERROR)
    first = _FIRST.format(address=quote(address), line=worst.span.line, message=worst.message)
    return _LIST.format(summary=f"{_counts(own)} on this page", first=first, items=items, all=whole)


def _counts(findings: list[Finding]) -> str:
    errors = sum(finding.severity is Severity.ERROR for finding in findings)
    others = len(findings) - errors
    parts = [counted(errors, "error")] if errors else []
    parts += [counted(others, "remark")] if others else []
    return ", ".join(parts)
