"""What the server answers, apart from the wire: one method a question, in the protocol's values."""

from pathlib import Path

from lsprotocol import types as lsp
from pygls.uris import from_fs_path, to_fs_path

from stavewright.editors.completion import complete
from stavewright.editors.convert import Converter, markdown
from stavewright.editors.document import Document
from stavewright.editors.fixes import fixes
from stavewright.editors.hover import hover
from stavewright.editors.library import Library
from stavewright.editors.outline import destination, folds, outline
from stavewright.editors.positions import Encoding
from stavewright.editors.suggest_prose import Reach


class Service:
    """Answers for all the documents that are open."""

    def __init__(self, encoding: Encoding) -> None:
        self.encoding = encoding
        self._library = Library()
        self._uris: dict[Path, str] = {}

    def put(self, uri: str, text: str) -> None:
        """A document was opened or changed."""
        place = _place(uri)
        self._uris[place] = uri
        self._library.put(place, text)

    def close(self, uri: str) -> None:
        """A document was closed."""
        self._uris.pop(_place(uri), None)
        self._library.close(_place(uri))

    @property
    def uris(self) -> list[str]:
        """The documents that are open, as their editor names them."""
        return list(self._uris.values())

    def diagnostics(self, uri: str) -> list[lsp.Diagnostic]:
        """Everything found in a document."""
        document = self._library.get(_place(uri))
        if document is None:
            return []
        converter = self._converter(document)
        return [converter.diagnostic(finding) for finding in self._library.findings(document)]

    def hover(self, params: lsp.HoverParams) -> lsp.Hover | None:
        """What stands at a place."""
        document = self._library.get(_place(params.text_document.uri))
        if document is None:
            return None
        converter = self._converter(document)
        around = self._library.surroundings(document)
        found = hover(document, around, *converter.place(params.position))
        if found is None:
            return None
        return lsp.Hover(markdown(found.markdown), converter.range(found.span))

    def completion(self, params: lsp.CompletionParams) -> list[lsp.CompletionItem]:
        """What could be written at a place."""
        document = self._library.get(_place(params.text_document.uri))
        if document is None:
            return []
        converter = self._converter(document)
        around = self._library.surroundings(document)
        reach = Reach(
            self._library.paths(document),
            tuple(sorted((around.index.terms or {}).items())),
            lambda path: self._library.article(around.root, path),
        )
        line, column = converter.place(params.position)
        found = complete(document, reach, line, column)
        return [converter.completion(item, line, column, at) for at, item in enumerate(found)]

    def actions(self, params: lsp.CodeActionParams) -> list[lsp.CodeAction]:
        """What can be done about the findings that a selection touches."""
        uri = params.text_document.uri
        document = self._library.get(_place(uri))
        if document is None:
            return []
        converter = self._converter(document)
        start, end = converter.place(params.range.start), converter.place(params.range.end)
        touched = [
            finding
            for finding in self._library.findings(document)
            if (finding.span.line, finding.span.column) <= end
            and start <= (finding.span.line, finding.span.end_column)
        ]
        return [converter.action(fix, uri) for fix in fixes(document, touched)]

    def symbols(self, uri: str) -> list[lsp.DocumentSymbol]:
        """Headings and blocks."""
        document = self._library.get(_place(uri))
        return self._converter(document).symbols(outline(document)) if document else []

    def folds(self, uri: str) -> list[lsp.FoldingRange]:
        """What can be folded."""
        document = self._library.get(_place(uri))
        found = folds(document) if document else ()
        return [lsp.FoldingRange(first - 1, last - 1) for first, last in found]

    def definition(self, params: lsp.DefinitionParams) -> lsp.Location | None:
        """Where the link at a place leads."""
        document = self._library.get(_place(params.text_document.uri))
        if document is None:
            return None
        around = self._library.surroundings(document)
        found = destination(document, around, *self._converter(document).place(params.position))
        if found is None:
            return None
        place = around.root / found.path
        other = self._library.texts(place)
        uri = self._uris.get(place) or from_fs_path(str(place))
        if uri is None or other is None:
            return None
        converter = Converter(other, self.encoding)
        span = found.span
        return lsp.Location(uri, converter.range(span) if span else converter.lines(1, 1))

    def _converter(self, document: Document) -> Converter:
        return Converter(document.texts, self.encoding)


def _place(uri: str) -> Path:
    """Where a document lies; one that was never saved lies nowhere, under its own name."""
    path = to_fs_path(uri)
    return (
        Path(path) if path and uri.startswith("file:") else Path("/unsaved") / uri.replace("/", "-")
    )
