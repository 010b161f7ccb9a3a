"""The preview's parts by themselves: whom it answers, what it remembers, how a block is shown."""

import re
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from watchdog.events import FileModifiedEvent, FileMovedEvent

from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span
from stavewright.preview.blocks import broken_figure, placed_figures, written_block
from stavewright.preview.guard import KnownHosts
from stavewright.preview.remembered import Remembered, SeenBlock, as_it_was, paired
from stavewright.preview.watch import Watcher

REMEMBERED = yaml.safe_load((Path(__file__).parent / "remembered.yaml").read_text("utf-8"))


@pytest.mark.parametrize("case", REMEMBERED, ids=lambda case: case["title"])
def test_figures_stay_with_their_blocks(case: dict[str, list[list[str]]]) -> None:
    memory = Remembered()
    memory.see("a.md", [SeenBlock(*each) for each in case["before"]])
    after = [SeenBlock(*each) for each in case["after"]]
    assert memory.recall("a.md", after) == case["shown"]
    # Noted, it is as it was; and a second error leaves the figure there.
    memory.see("a.md", after)
    assert memory.recall("a.md", after) == case["shown"]
    assert memory.recall("other.md", after) == [each.figure for each in after]


def test_half_a_save_loses_no_figure() -> None:
    memory = Remembered()
    whole = [SeenBlock(f"title tune {n} notes C D E F", f"figure {n}") for n in range(5)]
    memory.see("a.md", whole)
    memory.see("a.md", whole[:2])
    broken = [SeenBlock(each.text.replace("D", "H"), None) for each in whole]
    assert memory.recall("a.md", broken) == [each.figure for each in whole]


@given(st.lists(st.text("ab ", max_size=9)), st.lists(st.text("ab ", max_size=9)))
def test_partners_are_one_to_one_and_in_order(before: list[str], after: list[str]) -> None:
    partners = paired(before, after)
    assert len(partners) == len(after)
    found = [partner for partner in partners if partner is not None]
    assert found == sorted(set(found))
    assert paired(after, after) == list(range(len(after)))


def test_an_earlier_figure_has_ids_of_its_own_and_no_sound() -> None:
    markup = (
        '<script type="application/json">{}</script><svg aria-labelledby="t2"><title id="t2">'
        'A</title><clipPath id="c2"/><g clip-path="url(#c2)"><use href="#c2"/>'
        '<use href="#E0A4"/></g></svg>'
    )
    made = as_it_was(markup, 3)
    assert "<script" not in made
    assert re.findall(r'\sid="([^"]*)"', made) == ["was-3-t2", "was-3-c2"]
    assert "url(#was-3-c2)" in made
    assert 'href="#was-3-c2"' in made
    assert 'href="#E0A4"' in made
    assert 'aria-labelledby="was-3-t2"' in made


@pytest.mark.parametrize(
    ("listening", "header", "known"),
    [
        ("127.0.0.1", "127.0.0.1:8570", True),
        ("127.0.0.1", "localhost:8570", True),
        ("127.0.0.1", "[::1]:8570", True),
        ("127.0.0.1", "127.0.0.1", False),
        ("127.0.0.1", "127.0.0.1:857", False),
        ("127.0.0.1", "127.0.0.1:8570:8570", False),
        ("127.0.0.1", "192.168.1.7:8570", False),
        ("127.0.0.1", "bandroom:8570", False),
        ("192.168.1.7", "192.168.1.7:8570", True),
        ("192.168.1.7", "192.168.1.8:8570", False),
        ("::1", "[::1]:8570", True),
        # At all addresses any number is this machine's, and a name may be anybody's.
        ("0.0.0.0", "192.168.1.7:8570", True),
        ("0.0.0.0", "[fe80::1]:8570", True),
        ("0.0.0.0", "elsewhere.example:8570", False),
        ("::", "elsewhere.example:8570", False),
        ("::", "10.0.0.1:8570", True),
    ],
)
def test_hosts_are_known_by_the_whole_of_their_name(
    listening: str, header: str, known: bool
) -> None:
    assert KnownHosts.of(listening, 8570).knows(header) is known


def test_the_port_of_the_scheme_may_be_left_out() -> None:
    assert KnownHosts.of("127.0.0.1", 80).knows("localhost")


LINES = ["> ```music", "> notes: 1/4 C4 ♭H4 <b> 日本 X4", "> ```", "> after"]


def line(number: int) -> str | None:
    return LINES[number - 1] if number <= len(LINES) else None


def test_a_block_ends_at_its_fence_whatever_it_stands_in() -> None:
    block = written_block(1, line)
    assert block.lines == tuple(LINES[:3])
    assert (block.first, block.last) == (1, 3)


def test_the_marker_stands_under_the_columns_and_everything_is_escaped() -> None:
    findings = [
        Finding("syntax", Severity.ERROR, Span("a.md", 2, 17, 20), "No <such> note", "B4"),
        Finding("tie", Severity.WARNING, Span("a.md", 2, 28, 30), "Not here"),
    ]
    made = broken_figure(4, written_block(1, line), findings, "<svg></svg>")
    assert "<pre>&gt; notes: 1/4 C4 <mark>♭H4</mark> &lt;b&gt; 日本 <mark>X4</mark></pre>" in made
    markers = re.findall(r'class="marker"[^>]*>( *)(\^+)<', made)
    # East Asian characters take two columns of a fixed-width face.
    assert [(len(gap), len(signs)) for gap, signs in markers] == [(16, 3), (29, 2)]
    assert "No &lt;such&gt; note" in made
    assert "1 error in its block" in made
    (figure,) = placed_figures(f"<p>{made}</p>")
    assert (figure.number, figure.line) == (4, 1)


@pytest.mark.parametrize(
    ("name", "counts"),
    [
        ("tune.md", True),
        ("bell.svg", True),
        (".tune.md.swp", False),
        ("tune.md.swp", False),
        ("tune.md~", False),
        ("#tune.md#", False),
        (".#tune.md", False),
        ("4913", False),
        ("tune.md.tmp", False),
        ("4913.md", True),
        ("tune.mp", True),
    ],
)
def test_files_that_editors_leave_beside_are_no_changes(name: str, counts: bool) -> None:
    watcher = Watcher(lambda _: None)
    watcher.on_any_event(FileModifiedEvent(f"/content/{name}"))
    assert watcher.has_news is counts
    # Renamed to an article, any of them is one.
    watcher.on_any_event(FileMovedEvent(f"/content/{name}", "/content/tune.md"))
    assert watcher.has_news
