"""Checking without building: any Markdown files and folders, with or without a site around them.

A path inside a content folder (one with `site.yaml`) is checked as part of that site: its links,
terms and addresses must fit the rest. Any other Markdown is checked by itself; its links are
followed on the disk, and terms only as far as a glossary is among the files.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from stavewright.articles.article import Article, LinkKind
from stavewright.articles.check import check_article
from stavewright.articles.links import LinkIndex, check_links
from stavewright.articles.paths import resolve
from stavewright.notation.finding import Finding, in_order
from stavewright.site.checks import (
    check_navigation,
    check_theme,
    count,
    links_to_drafts,
)
from stavewright.site.content import Source, read_content, read_source, shown_name
from stavewright.site.errors import CannotRunError, working_on
from stavewright.site.map import place_all
from stavewright.site.project import read_project, read_text
from stavewright.site.report import Checked, LineOf, has_errors, lines_of
from stavewright.site.settings import SETTINGS_FILE, Settings

DEFAULT_FOLDER = Path("content")


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What was found."""

    findings: tuple[Finding, ...]
    """In order."""
    checked: Checked
    problems: tuple[str, ...]
    """Why some paths could not be checked."""
    line_of: LineOf

    @property
    def is_clean(self) -> bool:
        """Whether everything asked for was checked and nothing is worse than a warning."""
        return not self.problems and not has_errors(self.findings)


@dataclass(frozen=True, slots=True)
class _Part:
    """What one path, or one site, gave."""

    articles: tuple[Article, ...]
    findings: tuple[Finding, ...]
    sources: tuple[Source, ...]


def check_paths(paths: Sequence[Path]) -> CheckReport:
    """Check files and folders; without any, the content folder.

    Raises `CannotRunError` if nothing at all could be checked.
    """
    parts: list[_Part] = []
    missing = [path for path in paths if not path.exists()]
    problems = [f"there is no file or folder {shown_name(path)}" for path in missing]
    # A pipe or a device may never come to an end.
    odd = [path for path in paths if path.exists() and not (path.is_file() or path.is_dir())]
    problems += [f"{shown_name(path)} is neither a file nor a folder" for path in odd]
    present = [path for path in paths if path not in (*missing, *odd)]
    present = present if paths else [DEFAULT_FOLDER]
    for folder, chosen in _by_site(present, as_site=not paths).items():
        try:
            parts.append(_check_site(folder, chosen) if folder else _check_alone(chosen, problems))
        except CannotRunError as error:
            problems.append(str(error))
    articles = [article for part in parts for article in part.articles]
    findings = in_order(finding for part in parts for finding in part.findings)
    if problems and not articles and not findings:
        raise CannotRunError("; ".join(problems))
    texts = {source.file: source.text for part in parts for source in part.sources}
    return CheckReport(findings, count(articles), tuple(problems), lines_of(texts))


def findings_in(article: Article, index: LinkIndex) -> tuple[Finding, ...]:
    """Findings of an article's front matter, Markdown, blocks, claims and links."""
    return (*check_article(article), *check_links(article, index))


def _by_site(paths: Iterable[Path], *, as_site: bool) -> dict[Path | None, list[Path]]:
    """The paths by the content folder they lie in; None for those that lie in none."""
    found: dict[Path | None, list[Path]] = {}
    spelled: dict[Path, Path] = {}
    for path in paths:
        folder = path if as_site else _content_folder(path)
        if folder is not None:
            # One folder may be named in several ways; the first one goes into the findings.
            folder = spelled.setdefault(folder.resolve(), folder)
        found.setdefault(folder, []).append(path)
    return found


def _content_folder(path: Path) -> Path | None:
    """The nearest folder around a path that has settings, named the way the path is."""
    for folder in [path, *path.parents]:
        if (folder / SETTINGS_FILE).is_file():
            return folder
    for folder in path.absolute().parents:
        if (folder / SETTINGS_FILE).is_file():
            return folder
    return None


def _check_site(folder: Path, chosen: Sequence[Path]) -> _Part:
    project = read_project(folder)
    files = project.content.files
    articles = [article for article, _ in project.articles]
    index = LinkIndex.of(articles, files=[file.path for file in files], whole=True)
    pairs = [(article, source.file) for article, source in project.articles]
    about_all = [*project.findings, *place_all(pairs, files).findings]
    drafts = {article.path for article in articles if article.front.draft}
    published = [article.path for article in articles if article.path not in drafts]
    about_all += check_navigation(project.settings, published)
    about_all += check_theme(project.settings, folder)
    inside = [path.resolve() for path in chosen]
    wanted = [
        article for article in articles if _is_below((folder / article.path).resolve(), inside)
    ]
    findings: list[Finding] = []
    for article in wanted:
        with working_on(f"checking {folder / article.path}"):
            findings += findings_in(article, index)
            if not article.front.draft:
                findings += links_to_drafts(article, drafts)
    findings += [
        finding for finding in about_all if _is_below(Path(finding.span.file).resolve(), inside)
    ]
    settings = project.content.settings
    sources = (*project.content.articles, *([settings] if settings else []))
    return _Part(tuple(wanted), tuple(findings), sources)


def _is_below(path: Path, folders: Iterable[Path]) -> bool:
    return any(path.is_relative_to(folder) for folder in folders)


def _check_alone(chosen: Sequence[Path], problems: list[str]) -> _Part:
    """Files that belong to no site; links are followed from where the command runs."""
    findings: list[Finding] = []
    sources: dict[Path, Source] = {}
    for file in _markdown_files(chosen, findings):
        source = read_source(file, _path_from(_root_of(file), file))
        if isinstance(source, Finding):
            problems.append(f"{source.span.file}: {source.message}")
        else:
            sources[file] = source
    articles = {file: read_text(source, Settings()) for file, source in sources.items()}
    for file, article in articles.items():
        root = _root_of(file)
        known = [other for place, other in articles.items() if _root_of(place) == root]
        known += _linked(article, root, {other.path for other in known})
        index = LinkIndex.of(known, exists=_exists_below(root))
        with working_on(f"checking {shown_name(file)}"):
            findings += findings_in(article, index)
    return _Part(tuple(articles.values()), tuple(findings), tuple(sources.values()))


def _markdown_files(chosen: Iterable[Path], findings: list[Finding]) -> list[Path]:
    """The files among and below the paths, each once; a file that is named counts as Markdown."""
    files: dict[Path, Path] = {}
    for path in chosen:
        if path.is_dir():
            content = read_content(path)
            findings += content.findings
            for source in content.articles:
                files.setdefault((path / source.path).resolve(), path / source.path)
        else:
            files.setdefault(path.resolve(), path)
    return list(files.values())


def _linked(article: Article, root: Path, known: set[str]) -> list[Article]:
    """The articles on disk that this one links to, for their anchors."""
    found: dict[str, Article] = {}
    for link in article.links:
        path = resolve(article.path, link.target) if link.kind is LinkKind.ARTICLE else None
        if path is None or path in known or path in found or not (root / path).is_file():
            continue
        source = read_source(root / path, path)
        if not isinstance(source, Finding):
            found[path] = read_text(source, Settings())
    return list(found.values())


def _exists_below(root: Path) -> Callable[[str], bool]:
    return lambda path: (root / path).exists()


def _root_of(file: Path) -> Path:
    """What paths are relative to: where the command runs, or the file's own folder elsewhere."""
    here = Path.cwd()
    return here if file.resolve().is_relative_to(here) else file.resolve().parent


def _path_from(root: Path, file: Path) -> str:
    return file.resolve().relative_to(root.resolve()).as_posix()
