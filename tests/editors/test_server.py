"""The whole server, over its pipes: what an editor would see."""

import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from lsprotocol import types as lsp

from tests.editors.speaking import Client, converse

ARTICLE = """---
title: On "𝄞"
date: 2026-05-02
---

## The answer

𝄞😀 `chord: F7 = F A C E` and [gone](gone.md).

> ```music
> key: A minor
> time: 4/4
> chords: 1/2 Em7"𝄞" Am
> numerals: V7 i
> notes: 1/2 G#4&B4&D5&E4 A4&C5
> ```
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    content = tmp_path / "content"
    content.mkdir()
    (content / "site.yaml").write_text("name: Test\n", "utf-8")
    (content / "glossary.md").write_text(
        "---\ntitle: Glossary\nkind: page\n---\n\nRaised sixth\n: Higher.\n", "utf-8"
    )
    other = "---\ntitle: The other\ndate: 2026-01-01\nsummary: Told.\n---\n\n## Here\n"
    (content / "other.md").write_text(other, "utf-8")
    return content


def shown(found: list[lsp.Diagnostic]) -> list[tuple[str, int, int, int]]:
    return [
        (
            str(each.code),
            each.range.start.line,
            each.range.start.character,
            each.range.end.character,
        )
        for each in found
    ]


@pytest.mark.parametrize(
    ("encodings", "before", "width", "on_line"),
    [
        # Without agreement UTF-16, in which each of the two signs is two units.
        (None, 4, 1, 23),
        ([lsp.PositionEncodingKind.Utf32], 2, 1, 21),
        ([lsp.PositionEncodingKind.Utf8], 8, 1, 25),
    ],
)
def test_columns_are_those_of_the_editor(
    folder: Path,
    encodings: list[lsp.PositionEncodingKind | str] | None,
    before: int,
    width: int,
    on_line: int,
) -> None:
    async def talk(client: Client) -> None:
        found = await client.open(folder / "new.md", ARTICLE)
        # ` `chord: F7 = F A C E`: the E is 20 characters behind the two signs.
        claim = 20 + before
        assert shown(found)[0] == ("claim", 7, claim, claim + width)
        link = 34 + before
        assert shown(found)[1] == ("link", 7, link, link + 7)
        assert shown(found)[2][:2] == ("lines-disagree", 12)
        assert shown(found)[2][2:] == (14, 17)
        hover = await client.text_document_hover_async(
            lsp.HoverParams(
                lsp.TextDocumentIdentifier((folder / "new.md").as_uri()), lsp.Position(12, on_line)
            )
        )
        assert hover is not None
        assert "Am in A minor" in hover.contents.value
        assert hover.range.end.character - hover.range.start.character == 2
        assert hover.range.start.character <= on_line <= hover.range.end.character

    assert converse(folder, talk, encodings).errors == []


def test_findings_follow_what_is_typed(folder: Path) -> None:
    async def talk(client: Client) -> None:
        path = folder / "new.md"
        found = await client.open(path, ARTICLE)
        assert found[2].severity is lsp.DiagnosticSeverity.Error
        assert "E7" in found[2].message
        # An E becomes E flat; then the chord of the block is put right.
        client.change(path, lsp.TextEdit(lsp.Range(found[0].range.end, found[0].range.end), "b"))
        client.change(path, lsp.TextEdit(found[2].range, "E7"))
        left = await client.findings(path.as_uri(), lambda found: len(found) == 1)
        assert [each.code for each in left] == ["link"]

    assert converse(folder, talk).errors == []


def test_a_repair_takes_its_finding_away(folder: Path) -> None:
    async def talk(client: Client) -> None:
        path = folder / "new.md"
        found = await client.open(path, ARTICLE)
        actions = await client.text_document_code_action_async(
            lsp.CodeActionParams(
                lsp.TextDocumentIdentifier(path.as_uri()),
                found[2].range,
                lsp.CodeActionContext([found[2]]),
            )
        )
        assert actions is not None
        titles = [action.title for action in actions]
        assert titles == ["Write E7", "Accept lines-disagree in this block, for a reason"]
        write, accept = (action.edit.changes[path.as_uri()] for action in actions)
        client.change(path, accept[0])
        await client.findings(
            path.as_uri(), lambda found: "lines-disagree" not in {each.code for each in found}
        )
        assert accept[0].new_text == "\n> accept: lines-disagree because (say why)"
        # Back again, and the other way.
        line = accept[0].range.start.line
        end = lsp.Position(line + 1, len(accept[0].new_text) - 1)
        client.change(path, lsp.TextEdit(lsp.Range(accept[0].range.start, end), ""))
        await client.findings(path.as_uri(), lambda found: len(found) == 3)
        client.change(path, write[0])
        await client.findings(path.as_uri(), lambda found: len(found) == 2)

    assert converse(folder, talk).errors == []


def test_an_open_text_counts_before_the_saved_one(folder: Path) -> None:
    async def talk(client: Client) -> None:
        path, other = folder / "new.md", folder / "other.md"
        text = "---\ntitle: T\nkind: page\n---\n\n[x](other.md#there) [y](term:raised-sixth)\n"
        found = await client.open(path, text)
        assert [each.code for each in found] == ["link"]
        await client.open(other, other.read_text("utf-8").replace("Here", "There"))
        await client.findings(path.as_uri(), lambda found: not found)
        target = await client.text_document_definition_async(
            lsp.DefinitionParams(lsp.TextDocumentIdentifier(path.as_uri()), lsp.Position(5, 8))
        )
        assert isinstance(target, lsp.Location)
        assert (target.uri, target.range.start.line) == (other.as_uri(), 6)
        client.text_document_did_close(
            lsp.DidCloseTextDocumentParams(lsp.TextDocumentIdentifier(other.as_uri()))
        )
        client.text_document_did_save(
            lsp.DidSaveTextDocumentParams(lsp.TextDocumentIdentifier(path.as_uri()))
        )
        await client.findings(path.as_uri(), lambda found: len(found) == 1)

    assert converse(folder, talk).errors == []


SETTINGS = """name: 𝄞
raw_htlm: no
navigation:
  - title: A
    path: ↵
""".replace("↵", "")


def test_the_settings_of_the_site(folder: Path) -> None:
    async def talk(client: Client) -> None:
        path = folder / "site.yaml"
        found = await client.open(path, SETTINGS, "yaml")
        wrong = next(each for each in found if each.range.start.line == 1)
        assert shown([wrong]) == [("front-matter", 1, 0, 8)]
        assert "Try: raw_html" in wrong.message
        here = lsp.TextDocumentIdentifier(path.as_uri())
        actions = await client.text_document_code_action_async(
            lsp.CodeActionParams(here, wrong.range, lsp.CodeActionContext([wrong]))
        )
        assert actions is not None
        assert [action.title for action in actions] == ["Write raw_html"]
        client.change(path, actions[0].edit.changes[path.as_uri()][0])
        await client.findings(path.as_uri(), lambda found: len(found) == 1)
        at_name = lsp.HoverParams(here, lsp.Position(1, 3))
        hover = await client.text_document_hover_async(at_name)
        assert hover is not None
        assert "lets all HTML in articles through" in hover.contents.value
        items = await client.text_document_completion_async(
            lsp.CompletionParams(here, lsp.Position(4, 10))
        )
        assert isinstance(items, list)
        assert [item.label for item in items] == ["glossary.md", "other.md"]
        client.text_document_did_close(lsp.DidCloseTextDocumentParams(here))
        await client.findings(path.as_uri(), lambda found: not found)
        assert await client.text_document_hover_async(at_name) is None

    assert converse(folder, talk).errors == []


def test_completion_symbols_and_folds(folder: Path) -> None:
    async def talk(client: Client) -> None:
        path = folder / "new.md"
        await client.open(path, ARTICLE)
        here = lsp.TextDocumentIdentifier(path.as_uri())
        items = await client.text_document_completion_async(
            lsp.CompletionParams(here, lsp.Position(10, 8))
        )
        assert isinstance(items, list)
        labels = [item.label for item in items]
        assert labels[:3] == ["C major", "A minor", "G major"]
        edit = items[1].text_edit
        assert isinstance(edit, lsp.TextEdit)
        assert (edit.range.start.character, edit.range.end.character) == (7, 8)
        symbols = await client.text_document_document_symbol_async(lsp.DocumentSymbolParams(here))
        assert symbols is not None
        assert [symbol.name for symbol in symbols] == ["The answer"]
        assert [child.name for child in symbols[0].children] == ["Figure 1"]
        folds = await client.text_document_folding_range_async(lsp.FoldingRangeParams(here))
        assert folds is not None
        assert [(fold.start_line, fold.end_line) for fold in folds] == [(0, 3), (5, 16), (9, 15)]

    assert converse(folder, talk).errors == []


def test_nothing_an_editor_sends_stops_the_server(folder: Path) -> None:
    async def talk(client: Client) -> None:
        here = lsp.TextDocumentIdentifier((folder / "never-opened.md").as_uri())
        for position in (lsp.Position(0, 0), lsp.Position(10_000, 10_000)):
            assert await client.text_document_hover_async(lsp.HoverParams(here, position)) is None
        path = folder / "odd.md"
        odd = (
            "\ufeff```music\r\nkey:\rnotes: \0 \ud7ff 𝄞\n" + "> " * 40 + "`chord: \n[](" + "#" * 99
        )
        await client.open(path, odd)
        there = lsp.TextDocumentIdentifier(path.as_uri())
        for line in range(7):
            for character in (0, 3, 7, 9, 500):
                position = lsp.Position(line, character)
                await client.text_document_hover_async(lsp.HoverParams(there, position))
                await client.text_document_completion_async(lsp.CompletionParams(there, position))
                await client.text_document_definition_async(lsp.DefinitionParams(there, position))
        client.text_document_did_open(
            lsp.DidOpenTextDocumentParams(
                lsp.TextDocumentItem((folder / "song.yaml").as_uri(), "yaml", 1, "`chord: C = C E`")
            )
        )
        untitled = lsp.TextDocumentItem("untitled:New", "markdown", 1, "`chord: C = C E`")
        client.text_document_did_open(lsp.DidOpenTextDocumentParams(untitled))
        found = await client.findings("untitled:New", lambda _: True)
        assert [each.code for each in found] == ["claim"]
        # What is no Markdown is left alone.
        assert set(client.told) == {path.as_uri(), "untitled:New"}

    assert converse(folder, talk).errors == []


def frame(message: bytes) -> bytes:
    return b"Content-Length: %d\r\n\r\n%b" % (len(message), message)


HELLO = frame(
    b'{"jsonrpc":"2.0","id":1,"method":"initialize",'
    b'"params":{"capabilities":{},"processId":null,"rootUri":null}}'
)


@pytest.fixture
def process(folder: Path) -> Iterator[subprocess.Popen[bytes]]:
    command = [sys.executable, "-m", "stavewright", "language-server"]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, cwd=folder, stdin=pipe, stdout=pipe, stderr=pipe) as running:
        assert running.stdin
        assert running.stdout
        running.stdin.write(HELLO)
        running.stdin.flush()
        assert running.stdout.readline().startswith(b"Content-Length")
        yield running
        running.kill()


def test_an_editor_that_is_gone_takes_the_server_with_it(process: subprocess.Popen[bytes]) -> None:
    _, said = process.communicate(timeout=20)
    assert (process.returncode, said) == (0, b"")


def test_a_person_can_stop_it(process: subprocess.Popen[bytes]) -> None:
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=20) == 130


def test_messages_that_are_none_are_told_of_in_a_line(process: subprocess.Popen[bytes]) -> None:
    shutdown = frame(b'{"jsonrpc":"2.0","id":2,"method":"shutdown"}')
    leave = frame(b'{"jsonrpc":"2.0","method":"exit"}')
    out, said = process.communicate(frame(b"{nonsense") + shutdown + leave, timeout=20)
    assert b'"id": 2' in out
    assert b"Traceback" not in said
    assert all(line.startswith(b"stavewright: ") for line in said.splitlines())
    assert process.returncode == 0
