"""A place in a passage that moves forward while the passage is read."""

import re

from stavewright.notation.labels import label_end
from stavewright.notation.passage import Passage
from stavewright.notation.report import Report
from stavewright.notation.source import Span

BREAKS = " \n)|"
"""What ends an event or a symbol."""


class Cursor:
    """Reads a passage from left to right; every move is forward, so reading is linear."""

    __slots__ = ("at", "passage", "report", "text")

    def __init__(self, passage: Passage, report: Report) -> None:
        self.passage = passage
        self.report = report
        self.text = passage.text
        self.at = 0

    @property
    def sign(self) -> str:
        """The next character; empty at the end."""
        return self.text[self.at : self.at + 1]

    @property
    def at_break(self) -> bool:
        """Whether an event may end here."""
        return self.sign in BREAKS or self.text.startswith(":|", self.at)

    def take(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """Move past what the pattern matches here, if it does."""
        match = pattern.match(self.text, self.at)
        if match:
            self.at = match.end()
        return match

    def eat(self, text: str) -> bool:
        """Move past a fixed text, if it stands here."""
        if not self.text.startswith(text, self.at):
            return False
        self.at += len(text)
        return True

    def since(self, start: int) -> Span:
        """The span from `start` to here."""
        return self.passage.span(start, self.at)

    def complain(self, start: int, message: str, suggestion: str | None = None) -> None:
        """Note an error about what stands between `start` and here."""
        self.report.add(self.since(start), message, suggestion)

    def skip_event(self) -> None:
        """Move past the rest of something unreadable: to the next space outside labels."""
        while not self.at_break:
            self.skip_sign()

    def skip_sign(self) -> None:
        """Move past one character, or past a whole label."""
        if self.sign == '"':
            end = label_end(self.passage.written, self.at)
            self.at = self.line_end if end is None else end + 1
        else:
            self.at += 1

    @property
    def line_end(self) -> int:
        """Where the present line of the file ends."""
        end = self.text.find("\n", self.at)
        return len(self.text) if end < 0 else end

    def argument(self, start: int) -> tuple[int, int] | None:
        """Move past what stands in parentheses: its offsets, the opening `(` being behind.

        Where the `)` is missing, an error is noted and the bar, or the line, is skipped.
        """
        first, end = self.at, self.line_end
        close = self.text.find(")", first, end)
        if close < 0:
            self.complain(start, f"{self.text[start : self.at]!r} is never closed with )")
            bar = self.text.find("|", first, end)
            self.at = bar if bar >= 0 else end
            return None
        self.at = close + 1
        return first, close
