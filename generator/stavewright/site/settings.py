"""The settings of a site, from `site.yaml` in the content folder; every one has a default."""

import json
import re
from dataclasses import dataclass
from urllib.parse import urlsplit

from stavewright.articles.yaml_fields import FieldReader
from stavewright.articles.yaml_nodes import YamlMap, YamlNode, YamlReadError, YamlText
from stavewright.articles.yaml_read import read_yaml
from stavewright.notation.finding import Finding
from stavewright.notation.source import SourceText, Span
from stavewright.site.targets import Target, read_target

SETTINGS_FILE = "site.yaml"
DEFAULT_THEME = "quire"
DEFAULT_DESCRIPTION_LIMIT = 5000
"""Characters; what a video's description may commonly hold."""

# RFC 5646, section 2.1, as far as it concerns a site: language, script, region.
_LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Z][a-z]{3})?(-([A-Z]{2}|[0-9]{3}))?")

# What YAML takes as it stands, inside braces too.
_PLAIN = re.compile(r"[A-Za-z][\w ./-]*")

_START = Span(SETTINGS_FILE, 1, 1, 1)


@dataclass(frozen=True, slots=True)
class NavigationItem:
    """A page that every page links to."""

    title: str
    path: str
    """Of its Markdown file, relative to the content folder."""
    span: Span


@dataclass(frozen=True, slots=True)
class Settings:
    """What the author says about the whole site."""

    name: str = "Music theory, explained"
    address: str | None = None
    """Where the site is on the web, `https://example.org/music/`; None until the author knows."""
    author: str = ""
    about: str = ""
    """One sentence for the foot of every page and the feed."""
    language: str = "en"
    theme: str = DEFAULT_THEME
    """A theme's name, or a path to its folder relative to the content folder."""
    description_limit: int = DEFAULT_DESCRIPTION_LIMIT
    disclosure: str | None = None
    """For articles that do not have their own."""
    navigation: tuple[NavigationItem, ...] = ()
    rights: str = ""
    social_pictures: bool = True
    """Whether each article gets a picture for links that are shared."""
    raw_html: bool = False
    """Whether HTML in articles passes through."""
    publish: Target | None = None
    """Where `publish` puts the site; paths are relative to the content folder."""
    theme_span: Span = _START
    """Where the theme is named."""


def read_settings(text: str, file: str) -> tuple[Settings, tuple[Finding, ...]]:
    """The settings written in `text`, and what is wrong with them.

    `file` names it in findings. A field that is wrong keeps its default, so that everything else
    can still be checked.
    """
    try:
        fields = FieldReader(read_yaml(SourceText.plain(text, file)))
    except YamlReadError as error:
        return Settings(), (error.finding,)
    default = Settings()
    settings = Settings(
        name=fields.text("name", default.name),
        address=_address(fields),
        author=fields.text("author"),
        about=fields.text("about"),
        language=_language(fields),
        theme=fields.text("theme", default.theme),
        description_limit=_limit(fields),
        disclosure=fields.optional_text("disclosure"),
        navigation=_navigation(fields),
        rights=fields.text("rights"),
        social_pictures=fields.flag("social_pictures", default=True),
        raw_html=fields.flag("raw_html", default=False),
        publish=read_target(fields),
        theme_span=fields.span("theme"),
    )
    return settings, fields.finish()


def _address(fields: FieldReader) -> str | None:
    text = fields.optional_text("address")
    if text is None:
        return None
    try:
        parts = urlsplit(text)
        usable = parts.scheme in {"http", "https"} and parts.hostname and not parts.username
        plain = not (parts.query or parts.fragment or re.search(r"\s", text)) and parts.port != 0
    except ValueError:
        usable = plain = False
    if usable and plain:
        return text.rstrip("/") + "/"
    words = "`address` is the site's whole web address, without `?` or `#`"
    near = f"https://{text}" if re.fullmatch(r"[\w-]+(\.[\w-]+)+(/[\w./~-]*)?", text) else None
    fields.fault(fields.span("address"), words, near or "https://example.org/")
    return None


def _limit(fields: FieldReader) -> int:
    limit = fields.whole("description_limit", 200, 100_000, DEFAULT_DESCRIPTION_LIMIT)
    return limit or DEFAULT_DESCRIPTION_LIMIT


def _language(fields: FieldReader) -> str:
    text = fields.text("language", "en")
    if _LANGUAGE.fullmatch(text):
        return text
    words = "`language` is a language tag such as `en`, `de-AT` or `zh-Hant`"
    lowered = text.lower().replace("_", "-").split("-")[0]
    near = lowered if _LANGUAGE.fullmatch(lowered) else None
    fields.fault(fields.span("language"), words, near)
    return "en"


def _navigation(fields: FieldReader) -> tuple[NavigationItem, ...]:
    items = []
    for entry in fields.groups("navigation", _meant_entry):
        title = entry.required_text("title", "Handbook")
        path = entry.required_text("path", "handbook/index.md")
        items.append(NavigationItem(title, path, entry.span("path")))
        fields.findings.extend(entry.finish())
    return tuple(items)


def _meant_entry(entry: YamlNode) -> str | None:
    """What `- Answers: answers.md`, or a path alone, stands for; None of an entry with fields."""
    if isinstance(entry, YamlText):
        path = entry.text.strip()
        words = re.sub(r"(/index)?\.md$", "", path).rsplit("/", 1)[-1].replace("-", " ")
        return _entry(words[:1].upper() + words[1:], path) if words else None
    if not isinstance(entry, YamlMap) or len(entry.entries) != 1:
        return None
    name, value = entry.entries[0]
    if name.text in ("title", "path") or not isinstance(value, YamlText) or value.is_null:
        return None
    return _entry(name.text, value.text.strip())


def _entry(title: str, path: str) -> str:
    quoted = (each if _PLAIN.fullmatch(each) else json.dumps(each) for each in (title, path))
    return "{{title: {}, path: {}}}".format(*quoted)
