"""What the preview adds to a page, and the page it shows where there is none to show."""

from markupsafe import Markup

from stavewright.notation.finding import Finding, Severity
from stavewright.preview.snapshot import Snapshot
from stavewright.site.report import finding_parts

_HEAD = Markup('<link rel="stylesheet" href="/_preview/preview.css">')
_SCRIPT = Markup('<script src="/_preview/reload.js" data-build="{}"></script>')
_PANEL = Markup(
    '<aside class="stavewright-preview" aria-label="Findings"><details{}>'
    "<summary>{}</summary>{}</details></aside>"
)
# The line and its marker keep their columns; the words may be broken where the window ends.
_ITEM = Markup('<div class="item"><p class="finding">{}</p>{}{}</div>')
_FAULT = Markup(
    '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
    '<meta name="viewport" content="width=device-width, initial-scale=1">'
    "<title>{title}</title></head>"
    '<body class="stavewright-fault"><main><h1>{title}</h1><pre>{text}</pre>'
    "<p>{hint}</p></main></body></html>\n"
)


def with_preview(html: bytes, path: str, snapshot: Snapshot) -> bytes:
    """A page with the preview's script and, if there is any, the list of findings."""
    text = html.decode("utf-8")
    body = _panel(path, snapshot) + _SCRIPT.format(snapshot.number)
    text = _insert(text, "</head>", _HEAD)
    return _insert(text, "</body>", body).encode("utf-8")


def problem_page(snapshot: Snapshot) -> bytes:
    """The page shown for every address while the site cannot be built."""
    page = _FAULT.format(
        title="The site cannot be built",
        text=snapshot.problem or "",
        hint="This page comes back to life when you have mended it and saved.",
    )
    return with_preview(page.encode("utf-8"), "", snapshot)


def missing_page(path: str, snapshot: Snapshot) -> bytes:
    """The page for an address that is not in the site: the site's own, if it has one."""
    own = snapshot.files.get("404.html")
    if isinstance(own, bytes):
        return with_preview(own, "404.html", snapshot)
    page = _FAULT.format(title="No such page", text=f"/{path}", hint="")
    return with_preview(page.encode("utf-8"), "", snapshot)


def _insert(text: str, before: str, addition: Markup) -> str:
    """Put something before a closing tag, or at the end of a page that leaves the tag out."""
    head, tag, tail = text.rpartition(before)
    return f"{head}{addition}{tag}{tail}" if tag else f"{text}{addition}"


def _panel(path: str, snapshot: Snapshot) -> Markup:
    if not snapshot.findings:
        return Markup()
    own = snapshot.sources.get(path)
    here = [finding for finding in snapshot.findings if finding.span.file == own]
    elsewhere = [finding for finding in snapshot.findings if finding.span.file != own]
    errors = sum(finding.severity is Severity.ERROR for finding in here)
    summary = f"{_findings(len(here))} on this page, {len(elsewhere)} elsewhere"
    listed = Markup().join(_item(finding, snapshot) for finding in [*here, *elsewhere])
    return _PANEL.format(Markup(" open" if errors else ""), summary, listed)


def _findings(number: int) -> str:
    return f"{number} finding{'' if number == 1 else 's'}"


def _item(finding: Finding, snapshot: Snapshot) -> Markup:
    parts = finding_parts(finding, snapshot.line_of)
    quote = Markup("<pre>{}\n{}</pre>").format(*parts.quote) if parts.quote else Markup()
    words = Markup().join(Markup('<p class="words">{}</p>').format(line) for line in parts.words)
    return _ITEM.format(parts.head, quote, words)
