"""The engraver's elements, and what is left of them; test_compact has whole drawings."""

import pytest

from stavewright.figures.svg.compact import compact
from stavewright.figures.svg.finish import finish, mended

HEAD = (
    '<g class="notehead"><use href="#E0A4-a1" transform="translate(9, 8) scale(0.72, 0.72)"/></g>'
)
RUN = '<tspan id="b2" class="text"><tspan font-size="405px">'
LINE = '<path d="M0 {} L90 {}" stroke-width="13" stroke="currentColor"/>'


@pytest.mark.parametrize(
    ("drawn", "left"),
    [
        pytest.param(
            f'<g id="right-0" class="note">{HEAD}</g>',
            '<g data-id="right-0"><use href="#E0A4" x="9" y="8"/></g>',
            id="a name of ours stays",
        ),
        pytest.param(
            f'<g class="note" id="right-0">{HEAD}</g>',
            '<g data-id="right-0"><use href="#E0A4" x="9" y="8"/></g>',
            id="wherever it stands",
        ),
        pytest.param(
            f'<g id="c3" class="note">{HEAD}</g><g id="x-up-1" class="rend">{HEAD}</g>',
            '<use href="#E0A4" x="9" y="8"/>' * 2,
            id="others are opened up",
        ),
        pytest.param(
            '<g id="a-0" class="note"/><g id="a-1" class="note"><g class="stem"/></g>',
            "",
            id="nothing to light up",
        ),
        pytest.param(
            f'<g class="a placeholder"><g id="a-0" class="b">{HEAD}</g><g class="c"/></g>{HEAD}',
            '<use href="#E0A4" x="9" y="8"/>',
            id="what is not to be seen goes with all in it",
        ),
        pytest.param(
            f'<g id="d4" class="arpeg" transform="rotate(-90 1,2)">{HEAD}</g>',
            '<g transform="rotate(-90 1,2)"><use href="#E0A4" x="9" y="8"/></g>',
            id="what is turned stays turned",
        ),
        pytest.param(
            f'<g class="staff">{LINE.format(1, 1)}{LINE.format(5, 5)}{LINE.format(5, 9)}</g>',
            '<path d="M0 1h90m-90 4h90" stroke-width="13"/><path d="M0 5L90 9" stroke-width="13"/>',
            id="the lines of a staff are one",
        ),
        pytest.param(
            '<path stroke-width="13" stroke="currentColor" d="M0 1 L90 1"/>',
            '<path stroke-width="13" d="M0 1 L90 1"/>',
            id="a path in another order is only less small",
        ),
        pytest.param(
            '<use href="#E0A4-a1" transform="translate(9, 8) scale(0.54, 0.54)"/>',
            '<use href="#E0A4" transform="translate(9 8)scale(.75)"/>',
            id="a small glyph",
        ),
        pytest.param(
            '<use href="#E0A4-a1" transform="translate(9, 8) scale(0.72, 0.36)"/>',
            '<use href="#E0A4" transform="translate(9, 8) scale(0.72, 0.36) scale(1.388889)"/>',
            id="a glyph drawn out",
        ),
        pytest.param(
            f'<g class="dir"><text x="1" y="2" font-size="0px">{RUN}'
            ' id="b" stroke="currentColor" &lt;g class="x"/&gt; &amp;</tspan></tspan></text></g>',
            '<text x="1" y="2" font-style="italic" font-size="405">id=&quot;b&quot; '
            "stroke=&quot;currentColor&quot; &lt;g class=&quot;x&quot;/&gt; &amp;</text>",
            id="text that looks like elements is text",
        ),
        pytest.param(
            f'<text x="1" y="2">{RUN} </tspan></tspan></text><text x="1" y="2"></text>',
            "",
            id="text of nothing",
        ),
    ],
)
def test_what_is_left(drawn: str, left: str) -> None:
    assert compact(drawn) == left


def test_a_glyph_without_a_place_is_refused() -> None:
    with pytest.raises(ValueError, match="another form"):
        compact('<use href="#E0A4-a1"/>')


def test_what_is_no_page_is_refused() -> None:
    with pytest.raises(ValueError, match="no page of the engraver's"):
        finish("<svg></svg>")


def test_nothing_is_rewritten_where_nothing_is_to_mend() -> None:
    drawn = f'<g id="right-0" class="note">{HEAD}</g>'
    assert mended(drawn) is drawn
    ringed = mended(drawn.replace("note", "note hl", 1))
    assert ringed.startswith(f'<g id="right-0" class="note hl">{HEAD}<rect class="ring"')
    assert ringed.endswith("/></g>")
