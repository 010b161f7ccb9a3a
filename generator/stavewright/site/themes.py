"""Themes: found by name or path, and read whole.

A theme is a folder with `theme.yaml`, `templates/` and `assets/`. What it does not bring itself it
takes from `common`, so that a theme may be a single style sheet. A name is looked up among the
themes that travel inside the package, and in a checkout beside it.
"""

from dataclasses import dataclass, replace
from pathlib import Path

from stavewright.articles.near import nearest
from stavewright.articles.yaml_fields import FieldReader
from stavewright.articles.yaml_nodes import YamlReadError
from stavewright.articles.yaml_read import read_yaml
from stavewright.figures.colours import colour
from stavewright.notation.source import SourceText
from stavewright.site.content import shown_name
from stavewright.site.errors import ThemeError
from stavewright.site.social_style import SocialLook

COMMON = "common"
_COLOURS = ("paper", "ink", "soft", "accent")
_ABOUT = "theme.yaml"


@dataclass(frozen=True, slots=True)
class Theme:
    """A theme, ready to be used."""

    name: str
    about: str
    folder: Path
    templates: tuple[Path, ...]
    """Where templates are looked up, in this order."""
    assets: tuple[tuple[str, Path], ...]
    """Name (`style.css`, `fonts/text.woff2`) and file, sorted by name."""
    watched: tuple[Path, ...]
    """The folders all of it comes from."""
    social: SocialLook
    """The colours of pictures for shared links."""


def find_theme(wanted: str, base: Path) -> Theme:
    """The theme of a name, or in the folder of a path relative to `base`. Raises `ThemeError`."""
    if "/" in wanted or wanted.startswith("."):
        folder = base / wanted
        if not folder.is_dir():
            raise ThemeError(f"there is no theme in the folder {folder}")
        return _read_theme(folder.resolve())
    shelf = _shelf()
    names = theme_names()
    if wanted not in names:
        near = nearest(wanted, names)
        perhaps = f" (did you mean `{near}`?)" if near else ""
        listed = ", ".join(f"`{name}`" for name in names)
        raise ThemeError(
            f"there is no theme `{wanted}`{perhaps}; there are {listed}, "
            f"and a path such as `../my-theme` names a folder of your own"
        )
    return _read_theme(shelf / wanted)


def theme_names() -> tuple[str, ...]:
    """The themes that come with the package."""
    return tuple(sorted(path.parent.name for path in _shelf().glob(f"*/{_ABOUT}")))


def _shelf() -> Path:
    package = Path(__file__).resolve().parent.parent
    inside = package / "themes"
    return inside if inside.is_dir() else package.parent.parent / "themes"


def _read_theme(folder: Path) -> Theme:
    name, about, social = _introduction(folder)
    common = _shelf() / COMMON
    assets: dict[str, Path] = {}
    for origin in (common / "assets", folder / "assets"):
        for path in sorted(origin.rglob("*")) if origin.is_dir() else ():
            if path.is_file() and not path.name.startswith("."):
                assets[path.relative_to(origin).as_posix()] = path
    return Theme(
        name=name,
        about=about,
        folder=folder,
        templates=(folder / "templates", common / "templates"),
        assets=tuple(sorted(assets.items())),
        watched=(folder, common),
        social=social,
    )


def _introduction(folder: Path) -> tuple[str, str, SocialLook]:
    file = folder / _ABOUT
    try:
        text = file.read_text("utf-8")
    except FileNotFoundError:
        message = f"{shown_name(folder)} is no theme: it has no {_ABOUT} with its name"
        raise ThemeError(message) from None
    except (OSError, UnicodeDecodeError) as error:
        raise ThemeError(f"{shown_name(file)} cannot be read: {error}") from None
    try:
        fields = FieldReader(read_yaml(SourceText.plain(text, shown_name(file))))
    except YamlReadError as error:
        raise ThemeError(f"{error.finding.span}: {error.finding.message}") from None
    name, about = fields.required_text("name", folder.name), fields.text("about")
    look = _social_look(fields)
    for finding in fields.finish():
        raise ThemeError(f"{finding.span}: {finding.message}")
    return name, about, look


def _social_look(fields: FieldReader) -> SocialLook:
    """The group `social`, of which every colour may be left out."""
    group = fields.group("social", "paper")
    look = SocialLook()
    if group is None:
        return look
    for name in _COLOURS:
        text = group.optional_text(name)
        if text is not None:
            try:
                look = replace(look, **{name: colour(text)})
            except ValueError as error:
                raise ThemeError(f"{group.span(name)}: {error}") from None
    fields.findings.extend(group.finish())
    return look
