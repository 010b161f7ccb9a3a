"""Every setting of a site in a few words: for the handbook, and for editors while one types."""

import re
from dataclasses import dataclass
from typing import Final

_LINK: Final = re.compile(r"\[([^\]]*)\]\([^)]*\)")
_FLAG: Final = ("true", "false")


@dataclass(frozen=True, slots=True)
class SettingWords:
    """What one setting is for."""

    name: str
    says: str
    """Markdown; its links are those of the handbook."""
    values: tuple[str, ...] = ()
    """All that it may be, if that is a closed list."""
    inside: "tuple[SettingWords, ...]" = ()
    """The fields of a group."""

    @property
    def without_links(self) -> str:
        """What it says, for a place from which the handbook's links lead nowhere."""
        return _LINK.sub(r"\1", self.says)


SETTING_WORDS: Final = (
    SettingWords("name", "the name of the site, at the head of every page"),
    SettingWords(
        "address", "its whole web address; needed for the feed, the site map and video descriptions"
    ),
    SettingWords("author", "the author of the feed"),
    SettingWords("about", "one sentence, at the foot of every page"),
    SettingWords("language", "a language tag such as `en` or `de-AT`"),
    SettingWords(
        "theme",
        "the name of a theme, or a path such as `../my-theme` to one of [your own](themes.md)",
    ),
    SettingWords("description_limit", "the most characters that a video's description may have"),
    SettingWords("disclosure", "for articles that have none of their own"),
    SettingWords("rights", "a line at the foot of every page"),
    SettingWords(
        "navigation",
        "the pages that every page links to: `title` and `path` of each",
        inside=(
            SettingWords("title", "what the link says"),
            SettingWords("path", "the page's Markdown file, relative to the content folder"),
        ),
    ),
    SettingWords(
        "social_pictures",
        "`false` makes no [pictures for shared links](stills.md#where-links-are-shared)",
        _FLAG,
    ),
    SettingWords(
        "raw_html",
        "`true` lets all HTML in articles through; left out, [what marks text up](html.md)",
        _FLAG,
    ),
    SettingWords(
        "publish",
        "where [`stavewright publish`](publishing.md) puts the site: `folder`, `branch` or `rsync`",
        inside=(
            SettingWords("folder", "a folder, relative to the content folder"),
            SettingWords("branch", "a branch of a git repository, such as `pages`"),
            SettingWords("repository", "a folder of that repository; left out, the content folder"),
            SettingWords("push", "the remote to push the branch to; left out, nothing is pushed"),
            SettingWords(
                "rsync", "a folder as rsync takes it, such as `me@example.org:public_html`"
            ),
        ),
    ),
)
"""In the order in which the handbook lists them; a test holds them to what is read."""


def settings_table() -> str:
    """The table of the handbook."""
    rows = (f"| `{words.name}` | {words.says} |\n" for words in SETTING_WORDS)
    return "".join([SETTINGS_HEAD, "|---|---|\n", *rows])


SETTINGS_HEAD: Final = "| Setting | Says |\n"
