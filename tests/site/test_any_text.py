"""Whatever an author writes: a site comes out, valid, with every finding inside the text."""

from pathlib import Path
from tempfile import TemporaryDirectory

import html5lib
from hypothesis import given, settings
from hypothesis import strategies as st

from stavewright.figures.figure import Drawing, EngravingFault
from stavewright.site.content import Source, read_listed
from stavewright.site.making.alone import Alone
from stavewright.site.pipeline import Options, Tools, compose_site

SMALL = Path(__file__).parent / "small"

# Pieces that mean something, so that texts get further than the first check.
PIECES = [
    "---\n",
    "title: T\n",
    "date: 2024-03-02\n",
    "address: ",
    "draft: true\n",
    "video:\n  address: https://video.example/x\n  length: 1:00\n",
    "## H [0:10]\n",
    "## H {#a}\n",
    "```music\n",
    "```\n",
    "key: D major\n",
    "time: 4/4\n",
    "notes: 1/4 F#4 A4 G4 C#5\n",
    "show: keyboard names clock\n",
    "chords: 1/2 D A7\n",
    "`chord: A7 = A C# E G`",
    "`note: A4 = 441 Hz`",
    "[x](a.md#b)",
    "[x](term:)",
    "![p](p.png)",
    "[^1]\n\n[^1]: note\n",
    "| a | b |\n|---|---|\n| c | d |\n",
    "Term\n: Definition\n",
    "<script>alert(1)</script>",
    "<b>",
    "&amp;&nbsp;",
    "> ",
    "- ",
    "\n\n",
]
texts = st.lists(st.one_of(st.sampled_from(PIECES), st.text(max_size=20)), max_size=14).map("".join)


class Blank:
    """An engraver whose every picture is empty."""

    def engrave(self, jobs: object) -> list[Drawing | EngravingFault]:
        """See `Engraver`."""
        assert isinstance(jobs, list | tuple)
        return [Drawing("<svg></svg>", 100.0, 10.0) for _ in jobs]


@settings(max_examples=120, deadline=None)
@given(texts, st.sampled_from(["index.md", "glossary.md", "answers/a.md"]))
def test_any_text_gives_a_valid_site(text: str, path: str) -> None:
    data = text.encode("utf-8", "surrogatepass")
    with TemporaryDirectory() as folder:
        file = Path(folder, path)
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(data)
        options = Options(keep_going=True, drafts=True, theme=str(SMALL / "theme"))
        site = compose_site(Path(folder), options, Tools(Alone(Blank())))
        pages = [page.make() for page in site.pages]
        listing = site.checked.placed.made.read.listing
        source = read_listed(listing.articles[0])
        assert isinstance(source, Source)
        lines = source.text.split("\n")
    for finding in site.checked.findings:
        assert 1 <= finding.span.line <= len(lines)
        assert 1 <= finding.span.column <= len(lines[finding.span.line - 1]) + 1
        assert finding.span.column <= finding.span.end_column
    for page in pages:
        parser = html5lib.HTMLParser()
        parser.parse(page.decode("utf-8"))
        assert parser.errors == []
        assert b"<script>alert" not in page
