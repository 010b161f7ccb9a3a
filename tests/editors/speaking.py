"""A client that starts the real command and speaks the protocol with it over its pipes."""

import asyncio
import sys
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any

from lsprotocol import types as lsp
from pygls.lsp.client import LanguageClient

from stavewright.editors.positions import Encoding, column_at

LIMIT = 20
"""Seconds for a whole conversation."""


class Client(LanguageClient):
    """Keeps what it is told."""

    def __init__(self) -> None:
        super().__init__("tests", "1")
        self.told: dict[str, list[lsp.Diagnostic]] = {}
        self.errors: list[str] = []
        self._news = asyncio.Event()
        self._texts: dict[str, str] = {}
        self._version = 1

        @self.feature(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
        def published(params: lsp.PublishDiagnosticsParams) -> None:
            self.told[params.uri] = list(params.diagnostics)
            self._news.set()

    def report_server_error(self, error: Exception, source: Any) -> None:
        self.errors.append(f"{source}: {error}")

    async def open(self, path: Path, text: str, language: str = "markdown") -> list[lsp.Diagnostic]:
        uri = path.as_uri()
        self.told.pop(uri, None)
        self._texts[uri] = text
        self.text_document_did_open(
            lsp.DidOpenTextDocumentParams(lsp.TextDocumentItem(uri, language, 1, text))
        )
        return await self.findings(uri, lambda _: True)

    async def findings(
        self, uri: str, wanted: Callable[[list[lsp.Diagnostic]], bool]
    ) -> list[lsp.Diagnostic]:
        """The findings of a document, as soon as they are as wanted."""
        while uri not in self.told or not wanted(self.told[uri]):
            self._news.clear()
            await self._news.wait()
        return self.told[uri]

    def change(self, path: Path, edit: lsp.TextEdit) -> None:
        """Change one line of a document, as an editor does when keys are struck."""
        uri = path.as_uri()
        lines = self._texts[uri].split("\n")
        start, end = edit.range.start, edit.range.end
        opening, closing = lines[start.line], lines[end.line]
        before = opening[: column_at(opening, start.character, Encoding.UTF16) - 1]
        after = closing[column_at(closing, end.character, Encoding.UTF16) - 1 :]
        lines[start.line : end.line + 1] = [before + edit.new_text + after]
        self._texts[uri] = "\n".join(lines)
        self._version += 1
        self.text_document_did_change(
            lsp.DidChangeTextDocumentParams(
                lsp.VersionedTextDocumentIdentifier(self._version, uri),
                [lsp.TextDocumentContentChangeWholeDocument(self._texts[uri])],
            )
        )


def converse(
    folder: Path,
    talk: Callable[[Client], Coroutine[Any, Any, None]],
    encodings: list[lsp.PositionEncodingKind | str] | None = None,
) -> Client:
    """Start the command in a folder, say hello, talk, and take leave as the protocol has it."""

    async def whole() -> Client:
        client = Client()
        await client.start_io(
            sys.executable, "-m", "stavewright", "language-server", cwd=str(folder)
        )
        await client.initialize_async(
            lsp.InitializeParams(
                lsp.ClientCapabilities(
                    general=lsp.GeneralClientCapabilities(position_encodings=encodings)
                ),
                process_id=None,
                root_uri=folder.as_uri(),
            )
        )
        client.initialized(lsp.InitializedParams())
        await talk(client)
        await client.shutdown_async(None)
        client.exit(None)
        await client.stop()
        return client

    return asyncio.run(asyncio.wait_for(whole(), LIMIT))
