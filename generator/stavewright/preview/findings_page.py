"""The page that lists all findings of the site, file by file, each a way to its place."""

from itertools import groupby
from urllib.parse import quote

from markupsafe import Markup

from stavewright.notation.finding import Finding
from stavewright.preview.blocks import finding_words
from stavewright.preview.snapshot import Snapshot
from stavewright.site.report import finding_parts, found_words

ADDRESS = "/_preview/findings"
TITLE = "Findings"

_WIDTH = 50
"""Columns of a marked line, so that a phone shows the marker."""

_HOME = Markup('<p><a href="/">To the site</a></p>')
_FILE = Markup('<section aria-label="{file}"><h2>{heading}</h2>{items}</section>')
_ITEM = Markup('<div class="item {severity}"><p class="place">{place}</p>{quote}{words}</div>')
_QUOTE = Markup('<pre tabindex="0">{}\n{}</pre>')
_LINK = Markup('<a href="{address}">{words}</a>')


def findings_list(snapshot: Snapshot) -> Markup:
    """All findings, for the body of a page."""
    if snapshot.problem is not None:
        return Markup("<pre>{}</pre>").format(snapshot.problem)
    if not snapshot.findings:
        return Markup("<p>Nothing found in the whole site.</p>") + _HOME
    grouped = groupby(snapshot.findings, key=lambda finding: finding.span.file)
    files = Markup().join(_file(file, list(found), snapshot) for file, found in grouped)
    found_in_all = Markup("<p>{} in the whole site.</p>").format(found_words(snapshot.findings))
    return found_in_all + _HOME + files


def _file(file: str, found: list[Finding], snapshot: Snapshot) -> Markup:
    address = snapshot.address_of(file)
    heading = Markup("{}").format(file)
    if address is not None:
        heading = _LINK.format(address=quote(address), words=file)
    items = Markup().join(finding_item(finding, snapshot) for finding in found)
    return _FILE.format(file=file, heading=heading, items=items)


def finding_item(finding: Finding, snapshot: Snapshot) -> Markup:
    """One finding: the way to its place, the author's line with a marker, what is wrong."""
    span = finding.span
    parts = finding_parts(finding, snapshot.line_of, _WIDTH)
    words = f"Line {span.line}, column {span.column}"
    address = snapshot.address_of(span.file)
    place = Markup("{}").format(words)
    if address is not None:
        place = _LINK.format(address=f"{quote(address)}?line={span.line}", words=words)
    return _ITEM.format(
        severity=finding.severity.value,
        place=place + Markup(" <span>{}</span>").format(finding.rule),
        quote=_QUOTE.format(*parts.quote) if parts.quote else "",
        words=finding_words(finding),
    )
