"""The language server: the wire between an editor and `service`.

It reads standard input and writes standard output, as every editor that speaks the protocol starts
it. Text is checked a moment after the last keystroke; what is asked of a text that has not been
checked yet is answered from the text as it is now. A fault of ours in one answer is said in one
line on standard error and costs that answer, never the server.
"""

import asyncio
import logging
import os
import signal
import sys
from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Any, Final, ParamSpec, TypeVar

from lsprotocol import types as lsp
from pygls.lsp.server import LanguageServer

from stavewright import __version__
from stavewright.editors.positions import Encoding

if TYPE_CHECKING:
    from stavewright.editors.service import Service

MARKDOWN: Final = ".md"
SETTINGS: Final = "/site.yaml"
PAUSE: Final = 0.15
"""Seconds without a keystroke after which a document is checked."""
_INTERRUPTED: Final = 130
_TRIGGERS: Final = [":", "(", "`", ".", "#", "/", " ", "="]

P = ParamSpec("P")
T = TypeVar("T")


class Server(LanguageServer):
    """The server, its documents, and the checks that wait for a pause."""

    def __init__(self) -> None:
        # Whole texts, because parts are placed by lines, and the library that puts them together
        # ends lines where the protocol does not (at U+2028 and the like).
        super().__init__(
            "stavewright", __version__, text_document_sync_kind=lsp.TextDocumentSyncKind.Full
        )
        self.encoding = Encoding.UTF16
        self._service: Service | None = None
        self._waiting: dict[str, asyncio.TimerHandle] = {}

    @property
    def service(self) -> "Service":
        """What answers. Theory is brought in here, after the editor has heard that we are there."""
        if self._service is None:
            from stavewright.editors.service import Service

            self._service = Service(self.encoding)
        return self._service

    def report_server_error(self, error: Exception, source: Any) -> None:
        """Say on standard error what went wrong, in one line."""
        tell(f"{getattr(source, '__name__', source)}: {error}")

    def changed(self, uri: str, text: str, *, at_once: bool = False) -> None:
        """A document has a new text; it is checked now, or after a pause."""
        self.service.put(uri, text)
        self._forget(uri)
        if at_once:
            self.publish(uri)
        else:
            loop = asyncio.get_running_loop()
            self._waiting[uri] = loop.call_later(PAUSE, self.publish, uri)

    def closed(self, uri: str) -> None:
        """A document was closed; its findings are taken from the list."""
        self._forget(uri)
        self.service.close(uri)
        self.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, []))

    def publish(self, uri: str) -> None:
        """Send the findings of a document, and of those whose links may have changed by it."""
        self._forget(uri)
        for each in [uri, *(other for other in self.service.uris if other != uri)]:
            self._publish_one(each)

    def _publish_one(self, uri: str) -> None:
        try:
            found = self.service.diagnostics(uri)
        except Exception as error:
            tell(f"checking {uri}: {type(error).__name__}: {error}")
            return
        self.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, found))

    def _forget(self, uri: str) -> None:
        waiting = self._waiting.pop(uri, None)
        if waiting is not None:
            waiting.cancel()


def serve() -> None:
    """Serve an editor until it takes its leave or closes the pipe."""
    log = logging.getLogger("pygls")
    log.addHandler(_OneLine(logging.WARNING))
    log.propagate = False
    # A thread waits for the next message all the time, and would hold a person up who started the
    # server to see whether it is there. Nothing is written, so nothing is lost.
    signal.signal(signal.SIGINT, lambda *_: os._exit(_INTERRUPTED))
    make_server().start_io()


class _OneLine(logging.Handler):
    """Says what the library logs, without the road that led there."""

    def emit(self, record: logging.LogRecord) -> None:
        tell(record.getMessage())


def tell(words: str) -> None:
    """Say something to whoever reads the server's log; standard output belongs to the editor."""
    print(f"stavewright: {words}", file=sys.stderr, flush=True)


def _kept_alive(answer: Callable[P, T]) -> Callable[P, T | None]:
    """An answer that is nothing where working it out fails."""

    @wraps(answer)
    def safe(*args: P.args, **kwargs: P.kwargs) -> T | None:
        try:
            return answer(*args, **kwargs)
        except Exception as error:
            tell(f"a fault in Stavewright itself: {type(error).__name__}: {error}")
            return None

    return safe


def make_server() -> Server:
    """A server that answers every question an editor may ask of it."""
    server = Server()
    _add_texts(server)
    _add_questions(server)
    return server


def _add_texts(server: Server) -> None:
    @server.feature(lsp.INITIALIZED)
    @_kept_alive
    def ready(_: lsp.InitializedParams) -> None:
        agreed = server.server_capabilities.position_encoding
        server.encoding = Encoding(str(getattr(agreed, "value", agreed or "utf-16")))
        asyncio.get_running_loop().call_soon(lambda: server.service)

    @server.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
    @_kept_alive
    def opened(params: lsp.DidOpenTextDocumentParams) -> None:
        document = params.text_document
        uri = document.uri
        markdown = document.language_id == "markdown" or uri.lower().endswith(MARKDOWN)
        if markdown or uri.endswith(SETTINGS):
            server.changed(uri, document.text, at_once=True)

    @server.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
    @_kept_alive
    def changed(params: lsp.DidChangeTextDocumentParams) -> None:
        uri = params.text_document.uri
        if uri in server.service.uris:
            server.changed(uri, server.workspace.get_text_document(uri).source)

    @server.feature(lsp.TEXT_DOCUMENT_DID_SAVE)
    @_kept_alive
    def saved(params: lsp.DidSaveTextDocumentParams) -> None:
        if params.text_document.uri in server.service.uris:
            server.publish(params.text_document.uri)

    @server.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
    @_kept_alive
    def closed(params: lsp.DidCloseTextDocumentParams) -> None:
        server.closed(params.text_document.uri)


def _add_questions(server: Server) -> None:
    @server.feature(lsp.TEXT_DOCUMENT_HOVER)
    @_kept_alive
    def hover(params: lsp.HoverParams) -> lsp.Hover | None:
        return server.service.hover(params)

    @server.feature(
        lsp.TEXT_DOCUMENT_COMPLETION, lsp.CompletionOptions(trigger_characters=_TRIGGERS)
    )
    @_kept_alive
    def completion(params: lsp.CompletionParams) -> list[lsp.CompletionItem]:
        return server.service.completion(params)

    @server.feature(
        lsp.TEXT_DOCUMENT_CODE_ACTION,
        lsp.CodeActionOptions(code_action_kinds=[lsp.CodeActionKind.QuickFix]),
    )
    @_kept_alive
    def actions(params: lsp.CodeActionParams) -> list[lsp.CodeAction]:
        return server.service.actions(params)

    @server.feature(lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
    @_kept_alive
    def symbols(params: lsp.DocumentSymbolParams) -> list[lsp.DocumentSymbol]:
        return server.service.symbols(params.text_document.uri)

    @server.feature(lsp.TEXT_DOCUMENT_FOLDING_RANGE)
    @_kept_alive
    def folding(params: lsp.FoldingRangeParams) -> list[lsp.FoldingRange]:
        return server.service.folds(params.text_document.uri)

    @server.feature(lsp.TEXT_DOCUMENT_DEFINITION)
    @_kept_alive
    def definition(params: lsp.DefinitionParams) -> lsp.Location | None:
        return server.service.definition(params)
