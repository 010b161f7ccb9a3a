"""Fields out of a YAML mapping, each taken as what it ought to be, faults gathered as findings.

A reader is made over one mapping; each method takes one field by name, answers with its value (or
the default, when it is missing or wrong) and keeps a finding at the exact place. `finish` adds what
nobody asked for: unknown and repeated names.
"""

import re
from calendar import monthrange
from collections.abc import Callable, Sequence
from datetime import date

from stavewright.articles.near import nearest
from stavewright.articles.yaml_nodes import YamlList, YamlMap, YamlNode, YamlText
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span

_DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_ALMOST_A_DAY = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})(?:[T ].*)?")
_YEAR_LAST = re.compile(r"([0-9]{1,2})([-/.])([0-9]{1,2})\2([0-9]{4})")
_YES_NO = {"true": True, "yes": True, "false": False, "no": False}


class FieldReader:
    """Takes the fields of one mapping, and notes what is wrong with them."""

    def __init__(self, mapping: YamlMap, where: str = "") -> None:
        """`where` names the mapping in messages, such as `video`; empty for the top one."""
        self.mapping = mapping
        self.findings: list[Finding] = []
        self._where = where
        self._asked: list[str] = []

    def span(self, name: str) -> Span:
        """The value of a field; the whole mapping where it is not written."""
        node = self._get(name, ask=False)
        return node.span if node is not None else self.mapping.span

    def has(self, name: str) -> bool:
        """Whether a field is written with some value."""
        return self._get(name, ask=False) is not None

    def text(self, name: str, default: str = "") -> str:
        """A text; a number or a date counts as the text it was written as."""
        found = self.optional_text(name)
        return default if found is None else found

    def optional_text(self, name: str) -> str | None:
        """A text, or None where the field is not written."""
        node = self._get(name)
        if node is None:
            return None
        if isinstance(node, YamlText):
            return node.text.strip()
        self.fault(node.span, f"`{self._full(name)}` is a text, not a list or group of fields")
        return None

    def required_text(self, name: str, example: str) -> str:
        """A text that may not be missing or empty."""
        found = self.optional_text(name)
        if not found:
            self.fault(self.span(name), f"`{self._full(name)}` is missing", f"{name}: {example}")
        return found or ""

    def flag(self, name: str, *, default: bool) -> bool:
        """`true` or `false`."""
        node = self._get(name)
        if node is None:
            return default
        value = _YES_NO.get(node.text.strip().lower()) if isinstance(node, YamlText) else None
        if value is None:
            self.fault(
                node.span, f"`{self._full(name)}` is `true` or `false`", str(default).lower()
            )
            return default
        return value

    def whole(self, name: str, low: int, high: int, default: int | None = None) -> int | None:
        """A whole number from `low` to `high`."""
        node = self._get(name)
        if node is None:
            return default
        text = node.text.strip() if isinstance(node, YamlText) else ""
        if re.fullmatch(r"-?[0-9]{1,9}", text) and low <= int(text) <= high:
            return int(text)
        self.fault(node.span, f"`{self._full(name)}` is a whole number from {low} to {high}")
        return default

    def day(self, name: str) -> date | None:
        """A date as ISO 8601 writes it, `2024-05-31`."""
        node = self._get(name)
        if node is None:
            return None
        text = node.text.strip() if isinstance(node, YamlText) else ""
        match = _DAY.match(text)
        # `date.fromisoformat` alone also takes week dates and dates without hyphens.
        if match and match[0] == text and (found := _calendar_day(match)):
            return found
        exact = f"`{self._full(name)}` is a day of the calendar, written as 2024-05-31"
        words = f"there is no such day as {text}" if match and match[0] == text else exact
        self.fault(node.span, words, _meant_day(text))
        return None

    def choice(self, name: str, choices: Sequence[str], default: str) -> str:
        """One of a few words."""
        node = self._get(name)
        if node is None:
            return default
        text = node.text.strip() if isinstance(node, YamlText) else ""
        if text in choices:
            return text
        listed = ", ".join(f"`{choice}`" for choice in choices)
        self.fault(node.span, f"`{self._full(name)}` is one of {listed}", nearest(text, choices))
        return default

    def texts(self, name: str) -> tuple[str, ...]:
        """A list of texts; a single text counts as a list of one."""
        node = self._get(name)
        if node is None:
            return ()
        if isinstance(node, YamlText):
            return (node.text.strip(),)
        if isinstance(node, YamlMap):
            self.fault(node.span, f"`{self._full(name)}` is a list of texts, each after `- `")
            return ()
        return tuple(self._item(name, item) for item in node.items)

    def group(self, name: str, first: str) -> "FieldReader | None":
        """A group of fields under a name, with a reader of its own that you finish yourself.

        `first` is the field that a bare text in the group's place is taken for, to suggest it.
        """
        node = self._get(name)
        if node is None:
            return None
        if isinstance(node, YamlMap):
            return FieldReader(node, self._full(name))
        meant = f"\n  {first}: {node.text}" if isinstance(node, YamlText) else None
        words = f"`{self._full(name)}` holds fields of its own, indented below it"
        self.fault(node.span, words, meant)
        return None

    def groups(
        self, name: str, meant: Callable[[YamlNode], str | None] = lambda _: None
    ) -> tuple["FieldReader", ...]:
        """A list of groups of fields.

        `meant` says of an entry that is written in another way what it most likely stands for;
        None of one that is to be read.
        """
        node = self._get(name)
        if node is None:
            return ()
        items = node.items if isinstance(node, YamlList) else (node,)
        readers = []
        for item in items:
            near = meant(item)
            if isinstance(item, YamlMap) and near is None:
                readers.append(FieldReader(item, self._full(name)))
            else:
                words = f"each entry of `{self._full(name)}` holds fields of its own"
                self.fault(item.span, words, near)
        return tuple(readers)

    def finish(self) -> tuple[Finding, ...]:
        """Every finding, those about unknown and repeated names included."""
        seen: set[str] = set()
        for name, _ in self.mapping.entries:
            if name.text in seen:
                self.fault(name.span, f"`{self._full(name.text)}` is written twice")
            elif name.text not in self._asked:
                known = ", ".join(f"`{field}`" for field in self._asked)
                words = f"there is no field `{self._full(name.text)}` here; there are {known}"
                self.fault(name.span, words, nearest(name.text, self._asked))
            seen.add(name.text)
        return tuple(self.findings)

    def fault(self, span: Span, words: str, suggestion: str | None = None) -> None:
        """Note a finding; `words` without a full stop."""
        message = f"{words[0].upper()}{words[1:]}"
        self.findings.append(
            Finding("front-matter", Severity.ERROR, span, message, suggestion=suggestion)
        )

    def _get(self, name: str, *, ask: bool = True) -> YamlNode | None:
        if ask and name not in self._asked:
            self._asked.append(name)
        for key, value in self.mapping.entries:
            if key.text == name:
                return None if isinstance(value, YamlText) and value.is_null else value
        return None

    def _item(self, name: str, node: YamlNode) -> str:
        if isinstance(node, YamlText):
            return node.text.strip()
        words = f"each entry of `{self._full(name)}` is a text"
        self.fault(node.span, f"{words}; put it in quotes if it holds a `:`")
        return ""

    def _full(self, name: str) -> str:
        return f"{self._where}.{name}" if self._where else name


def _calendar_day(match: re.Match[str]) -> date | None:
    year, month, day = (int(part) for part in match.groups()[:3])
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _year_first(text: str) -> re.Match[str] | None:
    """A date with its year at the end, turned round; None where day and month might be either."""
    match = _YEAR_LAST.fullmatch(text)
    if match is None:
        return None
    first, sign, second, year = match.groups()
    if sign == "." or int(first) > 12:
        day, month = first, second
    elif int(second) > 12:
        day, month = second, first
    else:
        return None
    return _ALMOST_A_DAY.fullmatch(f"{year}-{month}-{day}")


def _meant_day(text: str) -> str | None:
    """The day that a slip most likely means: `2024-5-3`, `2024/05/03`, `2024-02-30`, `3.5.2024`."""
    match = _ALMOST_A_DAY.fullmatch(text) or _year_first(text)
    if match is None:
        return None
    year, month, day = (int(part) for part in match.groups()[:3])
    if year < 1 or not 1 <= month <= 12 or not 1 <= day <= 31:
        return None
    return date(year, month, min(day, monthrange(year, month)[1])).isoformat()
