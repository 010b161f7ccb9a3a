"""Starting an article: a file with its front matter filled in and one block that checks clean."""

from datetime import date
from pathlib import Path

from stavewright.articles.slug import slugify
from stavewright.site.content import MARKDOWN
from stavewright.site.errors import CannotRunError

_START = """\
---
title: {title}
summary: One or two sentences for lists, feeds and the video's description.
question: What the viewer asked, in their words?
date: {day}
draft: true
---

Say the answer first, in a sentence.

## How it sounds

```music
key: D major
time: 4/4
chords: 1/2 D A7 | D
notes: 1/4 F#4 A4 G4 C#5 | 1/1 D5
caption: The leading tone rises to the tonic.
```

The chord `chord: A7 = A C# E G` asks for its resolution: the interval
`interval: G4 to C#5 = augmented fourth` opens outward into a sixth.
"""


def start_article(name: str, content: Path, today: date) -> Path:
    """Write a new article and return its path.

    `name` is a title, or a path (below the content folder, or from where the command runs): it ends
    in `.md`, or has a slash and no space. Raises `CannotRunError` rather than write over anything.
    """
    title, path = _title_and_path(name.strip(), content)
    if not path.resolve().is_relative_to(content.resolve()):
        raise CannotRunError(f"{path} lies outside the content folder {content}")
    text = _START.format(title=_quoted(title), day=today.isoformat())
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        raise CannotRunError(f"{path} exists already, and is left as it is") from None
    except OSError as error:
        raise CannotRunError(f"{path} cannot be written: {error.strerror}") from None
    return path


def _title_and_path(name: str, content: Path) -> tuple[str, Path]:
    is_markdown = name.lower().endswith(MARKDOWN)
    if is_markdown or ("/" in name and " " not in name):
        path = Path(name if is_markdown else f"{name}{MARKDOWN}")
        title = path.stem.replace("-", " ").replace("_", " ").strip()
        from_here = path.resolve().is_relative_to(content.resolve())
        return title[:1].upper() + title[1:], path if from_here else content / path
    slug = slugify(name)
    if not slug:
        raise CannotRunError(f"no file name can be made from the title {name!r}; give a path")
    return name, content / f"{slug}{MARKDOWN}"


def _quoted(title: str) -> str:
    """A double-quoted YAML text, in which only the backslash and the quote mean something."""
    plain = " ".join(title.split())
    escaped = plain.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
