"""The last stage: onto the disk, whole or not at all."""

from stavewright.site.stages.values import Rendered, Tools, Written
from stavewright.site.write import write_site


def write(site: Rendered, tools: Tools) -> Written:
    """Write the site where the request said; without a place there is nothing to do."""
    tools.progress.stage("write", 1)
    if site.output is not None:
        write_site(site.files, site.output)
    tools.progress.advance()
    return Written(site)
