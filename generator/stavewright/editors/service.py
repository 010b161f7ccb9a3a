"""What the server answers, apart from the wire: one method a question, in the protocol's values."""

from collections.abc import Iterable
from pathlib import Path

from lsprotocol import types as lsp
from pygls.uris import from_fs_path, to_fs_path

from stavewright.editors.completion import complete
from stavewright.editors.convert import Converter, markdown
from stavewright.editors.document import Document
from stavewright.editors.fixes import fixes, repairs
from stavewright.editors.hover import hover
from stavewright.editors.library import Library
from stavewright.editors.outline import destination, folds, outline
from stavewright.editors.positions import Encoding
from stavewright.editors.settings_text import SettingsText
from stavewright.editors.suggest_prose import Reach
from stavewright.notation.finding import Finding
from stavewright.site.settings import SETTINGS_FILE


class Service:
    """Answers for all the documents that are open."""

    def __init__(self, encoding: Encoding) -> None:
        self.encoding = encoding
        self._library = Library()
        self._settings: dict[Path, SettingsText] = {}
        self._uris: dict[Path, str] = {}

    def put(self, uri: str, text: str) -> None:
        """A document was opened or changed."""
        place = _place(uri)
        self._uris[place] = uri
        if place.name == SETTINGS_FILE:
            self._settings[place] = SettingsText.read(text)
        else:
            self._library.put(place, text)

    def close(self, uri: str) -> None:
        """A document was closed."""
        self._uris.pop(_place(uri), None)
        self._settings.pop(_place(uri), None)
        self._library.close(_place(uri))

    @property
    def uris(self) -> list[str]:
        """The documents that are open, as their editor names them."""
        return list(self._uris.values())

    def diagnostics(self, uri: str) -> list[lsp.Diagnostic]:
        """Everything found in a document."""
        settings = self._settings.get(_place(uri))
        if settings is not None:
            converter = Converter(settings.texts, self.encoding)
            return [converter.diagnostic(finding) for finding in settings.findings]
        document = self._library.get(_place(uri))
        if document is None:
            return []
        converter = self._converter(document)
        return [converter.diagnostic(finding) for finding in self._library.findings(document)]

    def hover(self, params: lsp.HoverParams) -> lsp.Hover | None:
        """What stands at a place."""
        place = _place(params.text_document.uri)
        if (settings := self._settings.get(place)) is not None:
            converter = Converter(settings.texts, self.encoding)
            found = settings.hover(*converter.place(params.position))
        elif (document := self._library.get(place)) is not None:
            converter = self._converter(document)
            around = self._library.surroundings(document)
            found = hover(document, around, *converter.place(params.position))
        else:
            return None
        if found is None:
            return None
        return lsp.Hover(markdown(found.markdown), converter.range(found.span))

    def completion(self, params: lsp.CompletionParams) -> list[lsp.CompletionItem]:
        """What could be written at a place."""
        place = _place(params.text_document.uri)
        if (settings := self._settings.get(place)) is not None:
            return self._completion_of_settings(place, settings, params.position)
        document = self._library.get(place)
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

    def _completion_of_settings(
        self, place: Path, settings: SettingsText, position: lsp.Position
    ) -> list[lsp.CompletionItem]:
        converter = Converter(settings.texts, self.encoding)
        line, column = converter.place(position)
        found = settings.complete(line, column, lambda: self._library.files_below(place.parent))
        return [converter.completion(item, line, column, at) for at, item in enumerate(found)]

    def actions(self, params: lsp.CodeActionParams) -> list[lsp.CodeAction]:
        """What can be done about the findings that a selection touches."""
        uri = params.text_document.uri
        if (settings := self._settings.get(_place(uri))) is not None:
            converter = Converter(settings.texts, self.encoding)
            found = repairs(_touched(settings.findings, converter, params.range))
            return [converter.action(fix, uri) for fix in found]
        document = self._library.get(_place(uri))
        if document is None:
            return []
        converter = self._converter(document)
        touched = _touched(self._library.findings(document), converter, params.range)
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


def _touched(
    findings: Iterable[Finding], converter: Converter, selection: lsp.Range
) -> list[Finding]:
    start, end = converter.place(selection.start), converter.place(selection.end)
    return [
        finding
        for finding in findings
        if (finding.span.line, finding.span.column) <= end
        and start <= (finding.span.line, finding.span.end_column)
    ]


def _place(uri: str) -> Path:
    """Where a document lies; one that was never saved lies nowhere, under its own name."""
    path = to_fs_path(uri)
    return (
        Path(path) if path and uri.startswith("file:") else Path("/unsaved") / uri.replace("/", "-")
    )
