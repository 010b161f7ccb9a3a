"""The settings of a site while they are written: findings, names, values, what each is for."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final

from stavewright.articles.lines import Lines
from stavewright.editors.hover import Hover
from stavewright.editors.spans import word_at
from stavewright.editors.suggest import Completion, Kind
from stavewright.notation.finding import Finding
from stavewright.notation.source import Span
from stavewright.site.content import MARKDOWN
from stavewright.site.setting_words import SETTING_WORDS, SettingWords
from stavewright.site.settings import SETTINGS_FILE, read_settings
from stavewright.site.themes import theme_names

_TOP: Final = re.compile(r"(?P<name>\w+)[ \t]*:")
_NAME: Final = re.compile(r"[ \t]*(?:-[ \t]+)?(?P<typed>\w*)")
_NAME_IN_BRACES: Final = re.compile(r"[^{#]*\{(?:.*,)?[ \t]*(?P<typed>\w*)")
_VALUE: Final = re.compile(
    r"(?:[^{#]*\{(?:.*,)?)?[ \t]*(?:-[ \t]+)?(?P<name>\w+):[ \t]+(?P<typed>[^\s{\[#,]*)"
)


@dataclass(frozen=True, slots=True)
class SettingsText:
    """A settings file as its author sees it now."""

    texts: tuple[str, ...]
    """Its lines, without their ends."""
    findings: tuple[Finding, ...]

    @classmethod
    def read(cls, text: str) -> "SettingsText":
        """Read and check a text."""
        texts = Lines.of(text, SETTINGS_FILE).texts
        _, findings = read_settings("\n".join(texts), SETTINGS_FILE)
        return cls(texts, findings)

    def hover(self, line: int, column: int) -> Hover | None:
        """What the setting is for whose name stands at a place (line and column from 1)."""
        text = self._line(line)
        start, end = word_at(text, column, "_")
        found = _named(self._around(line, start), text[start - 1 : end - 1])
        if found is None or not text[end - 1 :].lstrip().startswith(":"):
            return None
        return Hover(Span(SETTINGS_FILE, line, start, end), _described(found))

    def complete(
        self, line: int, column: int, paths: Callable[[], Iterable[str]]
    ) -> tuple[Completion, ...]:
        """What could be written at a place; `paths` gives the files in the content folder."""
        before = self._line(line)[: column - 1]
        match = _NAME.fullmatch(before) or _NAME_IN_BRACES.fullmatch(before)
        if match is not None:
            start = match.start("typed") + 1
            return tuple(self._names(line, start))
        match = _VALUE.fullmatch(before)
        if match is None:
            return ()
        start = match.start("typed") + 1
        words = _named(self._around(line, match.start("name") + 1), match["name"])
        return tuple(_values(words, start, paths)) if words is not None else ()

    def _names(self, line: int, start: int) -> Iterable[Completion]:
        around = self._around(line, start)
        # Of the settings themselves each is written once; entries of a list repeat their fields.
        written = set(self._top_names(line)) if around is SETTING_WORDS else set()
        for words in around:
            if words.name not in written:
                insert = f"{words.name}:" if words.inside else f"{words.name}: "
                yield Completion(
                    words.name, insert, start, Kind.FIELD, documentation=_described(words)
                )

    def _top_names(self, without: int) -> Iterable[str]:
        for number, text in enumerate(self.texts, 1):
            if number != without and (match := _TOP.match(text)):
                yield match["name"]

    def _around(self, line: int, column: int) -> tuple[SettingWords, ...]:
        """The settings that could be named at a place: all, or the fields of a group, or none."""
        if column == 1:
            return SETTING_WORDS
        top = _TOP.match(self._line(line))
        if top is None:
            # What is indented, or an entry of a list, belongs to the last line above that is not.
            above = map(_TOP.match, map(self._line, range(line - 1, 0, -1)))
            top = next(filter(None, above), None)
        elif "{" not in self._line(line)[: column - 1]:
            return ()
        group = _named(SETTING_WORDS, top["name"]) if top is not None else None
        return group.inside if group is not None else ()

    def _line(self, number: int) -> str:
        return self.texts[number - 1] if 0 < number <= len(self.texts) else ""


def _values(
    words: SettingWords, start: int, paths: Callable[[], Iterable[str]]
) -> Iterable[Completion]:
    values: Iterable[str] = words.values
    if words.name == "theme":
        values = theme_names()
    for value in values:
        yield Completion(value, value, start, Kind.VALUE)
    if words.name == "path":
        for path in sorted(paths()):
            if path.lower().endswith(MARKDOWN):
                yield Completion(path, path, start, Kind.PAGE)


def _named(settings: Iterable[SettingWords], name: str) -> SettingWords | None:
    return next((words for words in settings if words.name == name), None)


def _described(words: SettingWords) -> str:
    return f"**{words.name}**: {words.without_links}"
