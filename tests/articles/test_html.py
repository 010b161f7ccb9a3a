"""HTML in articles: what marks text up is kept, and nothing else reaches the page."""

import re

import html5lib
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from stavewright.articles.article import Article
from stavewright.articles.html_elements import ELEMENTS, EVERYWHERE, VOID
from stavewright.articles.read import read_article
from stavewright.articles.render import render_body
from tests.articles.fuzz import FUZZ
from tests.articles.shown import assert_inside, pasted, read, show
from tests.articles.trees import elements
from tests.articles.yaml_cases import Case, yaml_cases

CASES = yaml_cases("html.yaml")

# What the renderer writes itself, beside what articles may hold.
OWN_ELEMENTS = {"h1", "h2", "h3", "h4", "h5", "h6", "img", "section"}
OWN_ATTRIBUTES = {
    "alt",
    "aria-label",
    "class",
    "decoding",
    "id",
    "loading",
    "role",
    "src",
    "tabindex",
}
ATTRIBUTES = EVERYWHERE.union(*ELEMENTS.values(), OWN_ATTRIBUTES)
ROOT = "DOCUMENT_FRAGMENT"


def body(article: Article) -> str:
    figures = dict.fromkeys(range(len(article.blocks)), "<figure></figure>")
    claims = dict.fromkeys(range(len(article.claims)), "<span>F7</span>")
    return render_body(article, figures, claims, lambda link: f"/{link.kind.name}:{link.target}")


@pytest.mark.parametrize("case", CASES)
def test_what_becomes_of_it(case: Case) -> None:
    article = read(case["text"])
    assert body(article) == case["html"]
    assert [show(finding) for finding in article.findings] == case["findings"]
    assert_inside(case["text"], article.findings)
    assert_harmless(body(article))


@pytest.mark.parametrize("case", CASES)
def test_suggestions_help(case: Case) -> None:
    before = [finding.message for finding in read(case["text"]).findings]
    for finding in read(case["text"]).findings:
        if finding.suggestion is not None:
            left = [other.message for other in read(pasted(case["text"], finding)).findings]
            assert left.count(finding.message) < before.count(finding.message), finding


def test_everything_in_the_table_is_kept() -> None:
    """Where HTML lets it stand; parts of tables in a table, and so on."""
    around = {
        "tr": "<table>{}</table>",
        **dict.fromkeys(("tbody", "thead", "tfoot", "caption", "colgroup"), "<table>{}</table>"),
        **dict.fromkeys(("td", "th"), "<table><tr>{}</tr></table>"),
        "col": "<table><colgroup>{}</colgroup></table>",
    }
    values = {"href": "https://a.example/", "dir": "rtl"}
    for name, own in ELEMENTS.items():
        attributes = {key: values.get(key, "1") for key in sorted(own | EVERYWHERE)}
        written = " ".join(f'{key}="{value}"' for key, value in attributes.items())
        tag = f"<{name} {written}>" + ("" if name in VOID else f"x</{name}>")
        article = read(f"<div>\n{around.get(name, '{}').format(tag)}\n</div>\n")
        assert article.findings == ()
        kept = [given for found, given in elements(body(article)) if found == name]
        assert attributes in kept, name


TAGS = st.builds(
    "<{}{}{}{}>".format,
    st.sampled_from(["", "", "/"]),
    st.sampled_from(
        [
            *sorted(ELEMENTS),
            "script",
            "style",
            "svg",
            "math",
            "img",
            "iframe",
            "noscript",
            "template",
            "select",
            "textarea",
            "title",
            "plaintext",
            "form",
            "x-y",
            "mtext",
        ]
    ),
    st.sampled_from(
        [
            "",
            "",
            " title='<b>'",
            ' title="</p><!--"',
            " onclick=alert(1)",
            " style=x",
            " href=https://a.example",
            " href='java&Tab;script:alert(1)'",
            " class=music",
            " id=a",
            " src=x onerror=alert(1)",
            "\n lang=la",
            " open",
        ]
    ),
    st.sampled_from(["", "", "/", " "]),
)
BETWEEN = st.sampled_from(
    [
        "a",
        " ",
        "\n",
        "\n\n",
        "- ",
        "> ",
        "*",
        "`",
        "# ",
        "| a | b |\n|---|---|\n",
        "<!--",
        "-->",
        "<!--x-->",
        "`chord: F7`",
        "\n```music\nnotes: C4\n```\n",
        "[x](javascript:alert(1))",
        "[",
        "]",
        "(",
        ")",
        "<![CDATA[",
        "]]>",
        "<?",
        "?>",
        "&lt;",
        "&#xfdd0;0&#xfdd1;",
        "\ufdd0",
        "[^1]",
        "\n\n[^1]: ",
        "\\",
        "<",
        ">",
        "![",
        "\n: ",
        "    ",
        "\u2028",
    ]
)
PAGES = st.lists(st.one_of(TAGS, BETWEEN), max_size=14).map("".join)


@FUZZ
@given(PAGES)
@example("<svg><p><style><a title='</style><img src=x onerror=alert(1)>'>")
@example("<table><td><table><a href=https://a.example><a>")
def test_nothing_but_the_allowed_reaches_the_page(text: str) -> None:
    article = read(text)
    assert_inside(text.replace("\ufdd0", "\ufffd"), article.findings)
    made = body(article)
    assert_harmless(made)
    assert made.count("<figure></figure>") >= len(article.blocks)


@FUZZ
@given(PAGES)
def test_cleaning_again_changes_nothing(text: str) -> None:
    """What comes out reads the same to a parser: there is nothing in it to be read in two ways."""
    made = body(read(text))
    assert elements(made) == elements(serialised(made))


def serialised(markup: str) -> str:
    tree = html5lib.parseFragment(markup, namespaceHTMLElements=False)
    return str(html5lib.serialize(tree, omit_optional_tags=False, quote_attr_values="always"))


def assert_harmless(markup: str) -> None:
    for name, attributes in elements(markup):
        assert name in {*ELEMENTS, *OWN_ELEMENTS}, markup
        assert set(attributes) <= ATTRIBUTES, markup
        for key in ("href", "src"):
            address = "".join(attributes.get(key, "").split()).lower()
            scheme = re.match(r"[a-z][a-z0-9+.-]*:", address)
            assert scheme is None or scheme[0] in {"http:", "https:", "mailto:"}, markup


def test_the_setting_lets_all_of_it_through() -> None:
    text = '<div style="a"><script>1</script></div>\n\na <b onclick="x">c</b> <br/> [x](tel:1)\n'
    article = read_article("p.md", text, "p.md", raw_html=True)
    assert article.findings == ()
    assert body(article) == (
        '<div style="a"><script>1</script></div>\n'
        '<p>a <b onclick="x">c</b> <br/> <a href="/OUTSIDE:tel:1">x</a></p>\n'
    )


def test_dangerous_links_are_no_links_even_then() -> None:
    for scheme in ("javascript:", "vbscript:", "data:text/html,", "file:"):
        article = read_article("p.md", f"[x]({scheme}x)\n", "p.md", raw_html=True)
        assert "href" not in body(article)
