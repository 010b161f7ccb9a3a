"""The first stage: what there is."""

from pathlib import Path

from stavewright.site.content import list_content
from stavewright.site.making.digests import digest_figure_template, digest_templates, program
from stavewright.site.making.manner import Manner
from stavewright.site.settings import Settings, read_settings
from stavewright.site.social_style import SocialStyle
from stavewright.site.stages.values import Request, SiteRead, Tools
from stavewright.site.texts import Texts
from stavewright.site.themes import Theme, find_theme
from stavewright.site.write import look


def read(request: Request, tools: Tools) -> SiteRead:
    """List the content, read settings and theme.

    An output folder that may not be replaced is refused here, before any work is done. Raises
    `CannotRunError`.
    """
    tools.progress.stage("read", 1)
    listing = list_content(request.content)
    found = listing.settings
    settings, findings = read_settings(found.text, found.file) if found else (Settings(), ())
    theme = _theme(request, settings)
    output = request.output
    standing = look(output, tools.store, request.content, theme.folder) if output else None
    manner = Manner(
        program=program(),
        theme=theme,
        raw_html=settings.raw_html,
        places=request.options.places,
        figure=digest_figure_template(theme),
        social=_social(request, settings, theme),
    )
    tools.progress.advance()
    return SiteRead(
        request=request,
        listing=listing,
        settings=settings,
        theme=theme,
        templates=digest_templates(theme),
        manner=manner,
        texts=Texts(listing, tools.store),
        findings=(*listing.findings, *findings),
        standing=standing,
    )


def _social(request: Request, settings: Settings, theme: Theme) -> SocialStyle | None:
    """Pictures are for links from elsewhere: a site without an address has none, nor a preview."""
    wanted = settings.address and settings.social_pictures and not request.options.places
    return SocialStyle(settings.name, theme.social) if wanted else None


def _theme(request: Request, settings: Settings) -> Theme:
    if request.options.theme is not None:
        return find_theme(request.options.theme, Path())
    return find_theme(settings.theme, request.content)
