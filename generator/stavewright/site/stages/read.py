"""The first stage: from the disk into memory."""

from pathlib import Path

from stavewright.site.content import read_content
from stavewright.site.project import settings_of
from stavewright.site.settings import Settings
from stavewright.site.stages.values import Request, SiteRead, Tools
from stavewright.site.themes import Theme, find_theme
from stavewright.site.write import refuse_unsafe


def read(request: Request, tools: Tools) -> SiteRead:
    """Read content, settings and theme.

    An output folder that may not be replaced is refused here, before any work is done. Raises
    `CannotRunError`.
    """
    tools.progress.stage("read", 1)
    content = read_content(request.content)
    settings, findings = settings_of(content)
    theme = _theme(request, settings)
    if request.output is not None:
        refuse_unsafe(request.output, request.content, theme.folder)
    tools.progress.advance()
    return SiteRead(request, content, settings, theme, (*content.findings, *findings))


def _theme(request: Request, settings: Settings) -> Theme:
    if request.options.theme is not None:
        return find_theme(request.options.theme, Path())
    return find_theme(settings.theme, request.content)
