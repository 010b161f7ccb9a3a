"""The handbook page on HTML, whose table is the one that articles are held to."""

from collections.abc import Iterable

from stavewright.articles.html_elements import ELEMENTS, EVERYWHERE

_HEAD = """\
---
title: HTML, and what a page may do
summary: Which HTML an article may hold, and what browsers are told to refuse.
kind: handbook
order: 19
---

Markdown has everything most articles need. Where it does not, you may write HTML that marks text
up: `<kbd>`, `<sub>`, `<abbr>`, a `<details>` around paragraphs, a table with joined cells.

```text
Press <kbd>Shift</kbd> and play the <abbr title="dominant seventh">V7</abbr>.

<details>
<summary>Why not E flat?</summary>

Because *the signature* says so: `key: A minor = 0 sharps`.

</details>
```

Leave an empty line between a tag that stands alone and the Markdown it goes around.

## What is kept

"""

_REST = """\
Every element may also have {everywhere}.

A tag has its partner in the same paragraph. Around whole paragraphs, the two stand between them.
Anything else, such as `<iframe>`, `<script>` or a tag that is never closed, is printed as you typed
it, and a warning says so. Attributes that do more than mark up, `style` and `class` and `onclick`
among them, are left out, with a warning too. Comments are left out.

Links in HTML begin with `https:`, `http:` or `mailto:`. Write all others in Markdown, where they
are [checked](links.md). Links in Markdown that leave your site begin with one of these three as
well, so that none can do anything else than lead somewhere.

If you know what you do, `raw_html: true` in
[`site.yaml`](front-matter.md#settings-of-the-site) lets all HTML through as it is written. Articles
that others send you are then no longer safe to build unread.

## What browsers are told

Every page says in its head what it needs: files that lie beside it. Browsers then refuse the rest,
whatever got into the text: scripts and styles in the page itself, anything of another host, frames,
forms. It holds on the web and for a page that is opened from your disk. A
[theme](themes.md#what-a-page-may-do) may ask for more.

## What a host can add

Some things cannot be said in a page. If your host lets you set headers, these are worth it:

```text
Content-Security-Policy: frame-ancestors 'none'
X-Content-Type-Options: nosniff
Referrer-Policy: strict-origin-when-cross-origin
Strict-Transport-Security: max-age=31536000
```

The first keeps other sites from showing yours in a frame. Leave it out if you want your pages to be
shown that way. The last tells browsers to come by https only, so set it once your site has
https for good. The headers add to what the pages say. They take nothing back.

The folder `assets/` may be kept for ever (`Cache-Control: max-age=31536000, immutable`): whatever
changes in it changes its name.
"""


def html_page() -> str:
    """The page, with a row for each set of elements that may have the same attributes."""
    by_attributes: dict[frozenset[str], list[str]] = {}
    for name, attributes in sorted(ELEMENTS.items()):
        by_attributes.setdefault(attributes, []).append(name)
    rows = [
        f"| {_codes(f'<{name}>' for name in names)} | {_codes(sorted(attributes))} |"
        for attributes, names in by_attributes.items()
    ]
    table = "\n".join(["| Elements | Their attributes |", "|---|---|", *sorted(rows, key=len)])
    everywhere = sorted(EVERYWHERE)
    words = f"{', '.join(f'`{name}`' for name in everywhere[:-1])} and `{everywhere[-1]}`"
    return f"{_HEAD}{table}\n\n{_REST.format(everywhere=words)}"


def _codes(texts: Iterable[str]) -> str:
    return " ".join(f"`{text}`" for text in texts)
