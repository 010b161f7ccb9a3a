"""The modules of the player, joined to the one script that a page loads.

They are written as modules, each with one job. Pages load one classic script all the same:
browsers refuse every module of a page that is opened from disk (a file has no origin that could be
the same), and one request is cheaper than one for each part. A module becomes a function that gives
what it exports. Only imports and exports by name are known, which is all the player needs; anything
else is refused instead of being joined wrongly.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from stavewright.site.errors import ThemeError

PLAYER = "player.js"

_IMPORT = re.compile(
    r"^import\s*\{(?P<names>[^{}]*)\}\s*from\s*[\"'](?P<file>[^\"']+)[\"'];?[ \t]*$", re.MULTILINE
)
_EXPORT = re.compile(
    r"^export\s+(?=(?:async\s+)?(?:function\*?|class|const)\s+(?P<name>[\w$]+))", re.MULTILINE
)
_OTHER = re.compile(
    r"^\s*(?:import\b(?!\s*\.)|export\b).*|\bimport\s*(?:\(|\.\s*meta).*", re.MULTILINE
)
_COMMENT_LINE = re.compile(r"^\s*//.*$", re.MULTILINE)
_RENAMED = re.compile(r"\s+as\s+")


def join_player(contents: Mapping[str, bytes]) -> dict[str, bytes]:
    """The assets of a theme (name, content) with its player joined to one script.

    A player without imports and exports is left as it is. Raises `ThemeError`.
    """
    joined = dict(contents)
    text = _text(contents, PLAYER) if PLAYER in contents else ""
    if _IMPORT.search(text) or _OTHER.search(_COMMENT_LINE.sub("", text)):
        joined[PLAYER] = join(contents, PLAYER).encode("utf-8")
    return joined


def join(contents: Mapping[str, bytes], entry: str) -> str:
    """The module `entry` and all that it imports, as one classic script. Raises `ThemeError`."""
    joiner = _Joiner(contents)
    joiner.add(entry, ())
    return '(() => {\n"use strict";\n' + "\n".join(joiner.parts) + "\n})();\n"


@dataclass(slots=True)
class _Joiner:
    contents: Mapping[str, bytes]
    parts: list[str] = field(default_factory=list)
    names: dict[str, str] = field(default_factory=dict)
    """The variable that holds what a module exports, by the module's name."""

    def add(self, name: str, within: tuple[str, ...]) -> str:
        """Add a module after all that it imports; `within` are those that are being added."""
        if name in within:
            raise ThemeError(f"{name} imports itself, by way of {' and '.join(within)}")
        if name not in self.names:
            text = _text(self.contents, name)
            text = _IMPORT.sub(lambda found: self._import(found, name, within), text)
            exported = [found["name"] for found in _EXPORT.finditer(text)]
            text = _EXPORT.sub("", text)
            if (other := _OTHER.search(_COMMENT_LINE.sub("", text))) is not None:
                raise ThemeError(
                    f"{name} holds `{other[0].strip()}`; modules of {PLAYER} are joined and say "
                    f'`import {{ names }} from "./file.js"` and export functions, classes and '
                    f"constants. A script of another name, which your own base.html loads, is free"
                )
            self.names[name] = f"module{len(self.names)}"
            body = f"{text.strip()}\nreturn {{ {', '.join(exported)} }};"
            self.parts.append(f"const {self.names[name]} = (() => {{\n{body}\n}})();")
        return self.names[name]

    def _import(self, found: re.Match[str], name: str, within: tuple[str, ...]) -> str:
        file = found["file"].removeprefix("./")
        if not found["file"].startswith("./") or file not in self.contents:
            raise ThemeError(f"{name} imports `{found['file']}`, which is no file of the theme")
        variable = self.add(file, (*within, name))
        return f"const {{ {_RENAMED.sub(': ', found['names'].strip())} }} = {variable};"


def _text(contents: Mapping[str, bytes], name: str) -> str:
    try:
        return contents[name].decode("utf-8")
    except UnicodeDecodeError as error:
        raise ThemeError(f"{name} is no UTF-8 text: {error}") from None
