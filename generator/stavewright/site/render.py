"""Pages through templates: everything is escaped, and a name that does not exist is an error."""

import traceback
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import (
    Environment,
    FileSystemLoader,
    StrictUndefined,
    TemplateError,
    TemplateNotFound,
    TemplateSyntaxError,
)
from markupsafe import Markup

from stavewright.site.content import shown_name
from stavewright.site.errors import ThemeError
from stavewright.site.glyphs import with_glyphs
from stavewright.site.themes import Theme

if TYPE_CHECKING:
    from stavewright.site.page import PageView, SiteView
    from stavewright.site.page_figure import FigureView

FIGURE_TEMPLATE = "figure.html"


@dataclass(frozen=True, slots=True)
class Renderer:
    """A theme's templates, ready to render."""

    theme: Theme
    environment: Environment

    @classmethod
    def of(cls, theme: Theme) -> "Renderer":
        """The renderer of a theme; templates that cannot be read show up when they are used.

        One that has been used once stays as it was then.
        """
        environment = Environment(
            loader=FileSystemLoader([str(folder) for folder in theme.templates]),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
            auto_reload=False,
        )
        return cls(theme, environment)

    def compile(self) -> None:
        """Get all templates ready; one that cannot be read shows up when it is used."""
        for name in self.environment.list_templates(extensions=("html",)):
            with suppress(TemplateError):
                self.environment.get_template(name)

    def page(self, site: "SiteView", page: "PageView") -> bytes:
        """A whole page. Raises `ThemeError` with the template's file and line."""
        html = self._render(page.template, {"site": site, "page": page})
        return with_glyphs(html).encode("utf-8")

    def figure(self, figure: "FigureView") -> Markup:
        """A figure as it stands in an article's body."""
        return Markup(self._render(FIGURE_TEMPLATE, {"figure": figure}).strip())

    def _render(self, template: str, values: dict[str, object]) -> str:
        try:
            return self.environment.get_template(template).render(values)
        except TemplateNotFound as error:
            raise ThemeError(
                f"the theme `{self.theme.name}` has no template `{error.message}` "
                f"in {self.theme.templates[0]}, and there is no common one"
            ) from error
        except TemplateSyntaxError as error:
            file = shown_name(Path(error.filename)) if error.filename else template
            place = f"{file}:{error.lineno}"
            raise ThemeError(f"{place}: {error.message}") from error
        except Exception as error:
            # Whatever a template does, the fault is in the theme: say where.
            raise ThemeError(f"{self._place(template, error)}: {_in_words(error)}") from error

    def _place(self, template: str, error: Exception) -> str:
        """The innermost line of a template that the error passed through."""
        folders = self.theme.templates
        for frame in reversed(traceback.extract_tb(error.__traceback__)):
            if any(Path(frame.filename).is_relative_to(folder) for folder in folders):
                return f"{shown_name(Path(frame.filename))}:{frame.lineno}"
        return f"template {template}"


def _in_words(error: Exception) -> str:
    if isinstance(error, KeyError):
        return f"there is no {error.args[0]!r}"
    return str(error) or type(error).__name__
