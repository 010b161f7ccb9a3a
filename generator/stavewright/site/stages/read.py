"""The first stage: what there is."""

from pathlib import Path

from stavewright.site.content import list_content
from stavewright.site.making.manner import Manner, digest_templates, program
from stavewright.site.project import settings_in
from stavewright.site.settings import Settings
from stavewright.site.stages.values import Request, SiteRead, Tools
from stavewright.site.themes import Theme, find_theme
from stavewright.site.write import refuse_unsafe


def read(request: Request, tools: Tools) -> SiteRead:
    """List the content, read settings and theme.

    An output folder that may not be replaced is refused here, before any work is done. Raises
    `CannotRunError`.
    """
    tools.progress.stage("read", 1)
    listing = list_content(request.content)
    settings, findings = settings_in(listing.settings)
    theme = _theme(request, settings)
    if request.output is not None:
        refuse_unsafe(request.output, request.content, theme.folder)
    manner = Manner(
        program=program(),
        theme=theme,
        raw_html=settings.raw_html,
        places=request.options.places,
        templates=digest_templates(theme),
    )
    tools.progress.advance()
    return SiteRead(request, listing, settings, theme, manner, (*listing.findings, *findings))


def _theme(request: Request, settings: Settings) -> Theme:
    if request.options.theme is not None:
        return find_theme(request.options.theme, Path())
    return find_theme(settings.theme, request.content)
