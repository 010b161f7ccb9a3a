"""Our values as those of the Language Server Protocol."""

from collections.abc import Iterable, Sequence
from typing import Final

from lsprotocol import types as lsp

from stavewright.editors.fixes import Fix
from stavewright.editors.outline import Part
from stavewright.editors.positions import Encoding, character_at, column_at
from stavewright.editors.suggest import Completion, Kind
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span

SOURCE: Final = "stavewright"
_SEVERITIES: Final = {
    Severity.ERROR: lsp.DiagnosticSeverity.Error,
    Severity.WARNING: lsp.DiagnosticSeverity.Warning,
    Severity.ADVICE: lsp.DiagnosticSeverity.Information,
}
_KINDS: Final = {
    Kind.FIELD: lsp.CompletionItemKind.Property,
    Kind.WORD: lsp.CompletionItemKind.Keyword,
    Kind.VALUE: lsp.CompletionItemKind.Value,
    Kind.RULE: lsp.CompletionItemKind.EnumMember,
    Kind.PAGE: lsp.CompletionItemKind.File,
    Kind.TERM: lsp.CompletionItemKind.Reference,
}


class Converter:
    """Converts for one document and the encoding that was agreed on."""

    def __init__(self, texts: Sequence[str], encoding: Encoding) -> None:
        self._texts = texts
        self._encoding = encoding

    def place(self, position: lsp.Position) -> tuple[int, int]:
        """Our line and column of an editor's position."""
        text = self._line(position.line + 1)
        return position.line + 1, column_at(text, position.character, self._encoding)

    def position(self, line: int, column: int) -> lsp.Position:
        """An editor's position of our line and column."""
        return lsp.Position(line - 1, character_at(self._line(line), column, self._encoding))

    def range(self, span: Span) -> lsp.Range:
        """An editor's range of a span."""
        return lsp.Range(
            self.position(span.line, span.column), self.position(span.line, span.end_column)
        )

    def lines(self, first: int, last: int) -> lsp.Range:
        """The range from the beginning of one line to the end of another."""
        last = max(first, last)
        return lsp.Range(self.position(first, 1), self.position(last, len(self._line(last)) + 1))

    def diagnostic(self, finding: Finding) -> lsp.Diagnostic:
        """A finding, with its suggestion and its reason below its message."""
        lines = [finding.message]
        if finding.suggestion:
            lines.append(f"Try: {finding.suggestion}")
        if finding.reason:
            lines.append(f"Why: {finding.reason}")
        return lsp.Diagnostic(
            self.range(finding.span),
            "\n".join(lines),
            severity=_SEVERITIES[finding.severity],
            code=finding.rule,
            source=SOURCE,
        )

    def completion(self, item: Completion, line: int, column: int, rank: int) -> lsp.CompletionItem:
        """Something that could be written, in the order in which we name it."""
        typed = self._line(line)[item.start - 1 : column - 1]
        return lsp.CompletionItem(
            label=item.label,
            kind=_KINDS[item.kind],
            detail=item.detail or None,
            documentation=markdown(item.documentation) if item.documentation else None,
            sort_text=f"{rank:04}",
            # An editor compares what was typed with this, and with the beginning of it.
            filter_text=item.insert if typed else None,
            text_edit=lsp.TextEdit(
                lsp.Range(self.position(line, item.start), self.position(line, column)),
                item.insert,
            ),
        )

    def action(self, fix: Fix, uri: str) -> lsp.CodeAction:
        """A change that the author may choose."""
        edit = lsp.TextEdit(self.range(fix.span), fix.text)
        return lsp.CodeAction(
            fix.title,
            kind=lsp.CodeActionKind.QuickFix,
            diagnostics=[self.diagnostic(fix.finding)],
            is_preferred=fix.is_preferred,
            edit=lsp.WorkspaceEdit(changes={uri: [edit]}),
        )

    def symbols(self, parts: Iterable[Part]) -> list[lsp.DocumentSymbol]:
        """Headings and blocks, as a tree."""
        return [
            lsp.DocumentSymbol(
                part.name or "…",
                lsp.SymbolKind.Object if part.is_block else lsp.SymbolKind.String,
                self.lines(part.span.line, part.last_line),
                self.range(part.span),
                children=self.symbols(part.parts),
            )
            for part in parts
        ]

    def _line(self, number: int) -> str:
        return self._texts[number - 1] if 0 < number <= len(self._texts) else ""


def markdown(text: str) -> lsp.MarkupContent:
    """Text that an editor is to show as Markdown."""
    return lsp.MarkupContent(lsp.MarkupKind.Markdown, text)
