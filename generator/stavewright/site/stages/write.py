"""The last stage: onto the disk, whole or not at all."""

from collections.abc import Callable, Iterator
from functools import partial

from stavewright.site.explain import History
from stavewright.site.stages.values import SiteComposed, Tools, Written
from stavewright.site.write import LazyFile, OutputFile, write_site


def write(site: SiteComposed, tools: Tools) -> Written:
    """Write the site where the request said; without a place there is nothing to do.

    Raises `ThemeError` where a page's template cannot be filled in.
    """
    read = site.checked.placed.made.read
    output = read.request.output
    if output is None:
        return Written(site, None, ())
    tools.progress.stage("write", len(site.pages))
    anew: list[str] = []
    report = write_site(_watched(site, tools, anew), output, tools.store, read.standing)
    history = History(tools.store, output)
    changes = history.changes(site.pages, anew)
    if report.changed:
        history.note(site.pages)
    return Written(site, report, changes)


def _watched(site: SiteComposed, tools: Tools, anew: list[str]) -> Iterator[OutputFile | LazyFile]:
    """The files, pages first, with a note of each page that is made."""
    pages = len(site.pages)
    for number, file in enumerate(site.files()):
        if number < pages and isinstance(file, LazyFile):
            tools.progress.advance()
            yield LazyFile(file.path, file.key, partial(_noting, file.path, file.make, anew))
        else:
            yield file


def _noting(path: str, make: Callable[[], bytes], anew: list[str]) -> bytes:
    anew.append(path)
    return make()
