"""The one exception of the theory core.

It is raised for text that names no pitch, interval, key, scale or chord. It carries its place, so
that a caller who found the text inside something longer can point at the very sign that is wrong.
"""

from __future__ import annotations


class TheoryError(ValueError):
    """Text, or a request, that music theory gives no meaning to.

    Positions are code point offsets into `text`; `suggestion` is a replacement for
    `text[start:end]` that would be understood, or None where nothing near is known.
    """

    message: str
    """What is wrong, in words that a musician would use. Ends without a full stop."""
    text: str
    """The text as it was given."""
    start: int
    """Offset of the first code point at fault."""
    end: int
    """Offset after the last code point at fault; equal to `start` where something is missing."""
    suggestion: str | None
    """Ready to put in the place of `text[start:end]`."""

    def __init__(
        self,
        message: str,
        text: str = "",
        start: int = 0,
        end: int | None = None,
        suggestion: str | None = None,
    ) -> None:
        stop = len(text) if end is None else end
        # All five go to the base class: exceptions pickle by calling the class with `args`.
        super().__init__(message, text, start, stop, suggestion)
        self.message = message
        self.text = text
        self.start = start
        self.end = stop
        self.suggestion = suggestion

    def __str__(self) -> str:
        if self.suggestion is None:
            return self.message
        return f"{self.message} (try {self.repaired!r})"

    @property
    def repaired(self) -> str | None:
        """The whole text with the suggestion put in, or None without a suggestion."""
        if self.suggestion is None:
            return None
        return self.text[: self.start] + self.suggestion + self.text[self.end :]

    def within(self, text: str, offset: int) -> TheoryError:
        """Give the same fault, placed in the longer `text` that holds this one at `offset`."""
        return TheoryError(
            self.message, text, self.start + offset, self.end + offset, self.suggestion
        )
