"""The preview in a real browser: what changes is brought in, and the reader's hand stays free."""

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.test_pages import DESK, Complaints
from tests.browser.test_pages import browser as browser
from tests.preview.running import PATIENCE, Preview, running

pytestmark = pytest.mark.browser

SITE = Path(__file__).parent / "preview_site"
TUNE = "content/answers/tune.md"
OTHER = "content/answers/other.md"
FIRST_NOTES = "notes: 1/4 F#4 A4 G4 C#5"
expect.set_options(timeout=PATIENCE * 1000)

# How much of an element lies in view, from 0 to 1.
IN_VIEW = """element => {
  const { top, bottom } = element.getBoundingClientRect();
  return top >= 0 && top < innerHeight;
}"""
# Left, right, top and bottom of an element, and of the signs at the end of a marker line.
BOX = """element => {
  const { left, right, top, bottom } = element.getBoundingClientRect();
  return [left, right, top, bottom];
}"""
CARETS = """element => {
  const range = document.createRange();
  range.setStart(element.firstChild, element.textContent.indexOf("^"));
  range.setEnd(element.firstChild, element.textContent.length);
  const { left, right, top, bottom } = range.getBoundingClientRect();
  return [left, right, top, bottom];
}"""


@dataclass
class Desk:
    """An author at work: a browser beside an editor."""

    preview: Preview
    page: Page
    complaints: Complaints

    def go(self, path: str) -> None:
        """Look at a page, marked so that it is known whether it was loaded again."""
        self.page.goto(f"{self.preview.address}{path}", wait_until="load")
        self.page.evaluate("window.isTheSame = true")

    def text(self, path: str = TUNE) -> str:
        return (self.preview.folder / path).read_text("utf-8")

    def save(self, *changes: tuple[str, str], path: str = TUNE) -> str:
        """Save an article with changes; gives the text as it was."""
        before = text = self.text(path)
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        (self.preview.folder / path).write_text(text, encoding="utf-8")
        return before

    def is_the_same(self) -> bool:
        """Whether the page was never loaded again."""
        return bool(self.page.evaluate("window.isTheSame === true"))

    @property
    def figures(self) -> Locator:
        return self.page.locator("figure.music")


@pytest.fixture(scope="module")
def preview(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Preview]:
    with running(tmp_path_factory.mktemp("preview") / "project", source=SITE) as preview:
        yield preview


@pytest.fixture
def desk(browser: Browser, preview: Preview) -> Iterator[Desk]:
    context = browser.new_context(viewport=DESK)
    page = context.new_page()
    complaints = Complaints()
    complaints.listen(page, preview.address)
    texts = {path: (preview.folder / path).read_text("utf-8") for path in (TUNE, OTHER)}
    yield Desk(preview, page, complaints)
    context.close()
    for path, text in texts.items():
        (preview.folder / path).write_text(text, encoding="utf-8")
    assert complaints.heard == []


def test_text_changes_in_place_and_everything_else_stays(desk: Desk) -> None:
    desk.go("answers/tune/")
    page = desk.page
    figure = desk.figures.nth(1)
    page.evaluate(
        """() => {
          const figure = document.querySelectorAll("figure.music")[1];
          figure.querySelector("details").open = true;
          figure.isKept = true;
        }"""
    )
    page.locator(".claim[role=button]").first.click()
    expect(page.locator(".claim-card")).to_be_visible()
    page.evaluate(
        """() => {
          document.querySelectorAll(".sound-loop")[1].focus({ preventScroll: true });
          const range = document.createRange();
          const words = [...document.querySelectorAll("p")]
            .find(p => p.textContent.startsWith("A paragraph between")).firstChild;
          range.setStart(words, 2);
          range.setEnd(words, 11);
          getSelection().removeAllRanges();
          getSelection().addRange(range);
        }"""
    )
    # A paragraph more above it all, words in the selected one, words after it.
    desk.save(
        ("Before the first", "A paragraph more.\n\nBefore the first"),
        ("between the two, which", "that stands between the two, which now"),
    )
    expect(page.get_by_text("A paragraph more.")).to_be_visible()
    expect(page.get_by_text("that stands between the two")).to_be_visible()
    assert desk.is_the_same()
    assert figure.evaluate("figure => figure.isKept && figure.querySelector('details').open")
    assert page.evaluate("document.activeElement.className") == "sound-loop"
    expect(page.locator(".claim-card")).to_be_visible()
    assert page.evaluate("String(getSelection())") == "paragraph"


def test_the_scrolled_place_holds_while_text_above_it_grows(desk: Desk) -> None:
    desk.save(("A closing paragraph.", "A closing paragraph.\n" + "\nA line.\n" * 80))
    desk.go("answers/tune/")
    page = desk.page
    expect(page.get_by_text("A line.").last).to_be_attached()
    heading = page.get_by_role("heading", name="The second")
    page.evaluate("scrollTo(0, document.querySelector('#the-second').offsetTop - 50)")
    before = heading.evaluate("element => element.getBoundingClientRect().top")
    desk.save(("Before the first", "More.\n\nStill more.\n\nBefore the first"))
    expect(page.get_by_text("Still more.")).to_be_attached()
    after = heading.evaluate("element => element.getBoundingClientRect().top")
    assert abs(after - before) <= 1
    # Cut short by half a save the page cannot reach the place; whole again, it does.
    place = page.evaluate("scrollY")
    text = desk.text()
    (desk.preview.folder / TUNE).write_text(text[:150], encoding="utf-8")
    expect(page.get_by_text("A line.").first).to_be_hidden()
    (desk.preview.folder / TUNE).write_text(text, encoding="utf-8")
    expect(page.get_by_text("A line.").last).to_be_attached()
    assert abs(page.evaluate("scrollY") - place) <= 1
    assert desk.is_the_same()


def test_a_playing_figure_plays_on_while_others_change(desk: Desk) -> None:
    desk.go("answers/tune/")
    page, second = desk.page, desk.figures.nth(1)
    second.locator(".sound-play").click()
    expect(second.locator(".is-playing")).to_be_attached()
    page.evaluate("document.querySelectorAll('figure.music')[1].isKept = true")
    # A change to the figure before it, then a whole figure more in front, which moves all numbers.
    desk.save((FIRST_NOTES, FIRST_NOTES.replace("A4", "E4")))
    expect(desk.figures.nth(0)).to_contain_text("E4")
    new = "```music\ntime: 2/4\nnotes: 1/4 C4 D4\n```\n\n"
    desk.save(("Before the first", f"{new}Before the first"))
    expect(desk.figures).to_have_count(3)
    third = desk.figures.nth(2)
    assert third.evaluate("figure => figure.isKept && figure.id === 'figure:3'")
    assert third.locator(".is-playing").count() == 1
    moved = third.locator(".sound-line span").evaluate("line => line.style.transform")
    expect(third.locator(".sound-line span")).not_to_have_css("transform", moved)
    # The new one and the changed one can be played as well, and the old one falls silent.
    desk.figures.nth(0).locator(".sound-play").click()
    expect(third.locator(".is-playing")).to_have_count(0)
    desk.figures.nth(1).locator(".sound-play").click()
    expect(desk.figures.nth(1).locator(".is-playing")).to_have_count(1)
    # A figure that is changed while it plays falls silent, and can be played again.
    desk.save((FIRST_NOTES.replace("A4", "E4"), FIRST_NOTES))
    expect(page.locator(".is-playing")).to_have_count(0)
    desk.figures.nth(1).locator(".sound-play").click()
    expect(desk.figures.nth(1).locator(".is-playing")).to_have_count(1)
    assert desk.is_the_same()


def test_new_claims_can_be_heard_and_the_head_follows(desk: Desk) -> None:
    desk.go("answers/tune/")
    desk.save(("A closing", "`chord: Am = A C E` A closing"), ("title: Two tunes", "title: Tunes"))
    expect(desk.page).to_have_title(re.compile("^Tunes · "))
    desk.page.locator(".claim[role=button]").nth(1).click()
    expect(desk.page.locator(".claim-card")).to_have_text("A4 C5 E5")
    assert desk.is_the_same()


def test_an_error_stands_in_its_block_above_the_figure_as_it_was(desk: Desk) -> None:
    desk.go("answers/tune/")
    page, first = desk.page, desk.figures.nth(0)
    page.evaluate("document.querySelectorAll('figure.music')[1].isKept = true")
    desk.save((FIRST_NOTES, "notes: 1/4 F#4 H4 G4 C#5"))
    row = first.locator(".row.fault")
    expect(row.locator("pre")).to_have_text("notes: 1/4 F#4 H4 G4 C#5 | 1/1 D5 | 1/1 D5 | 1/1 D5")
    expect(row.locator("mark")).to_have_text("H4")
    # The marker stands under the very columns.
    mark, marker = row.locator("mark"), first.locator(".marker")
    assert re.fullmatch(r" {15}\^\^", marker.evaluate("element => element.textContent"))
    under = marker.evaluate(CARETS)
    over = mark.evaluate(BOX)
    assert abs(under[0] - over[0]) < 1
    assert abs(under[1] - over[1]) < 1
    assert -1 <= under[2] - over[3] < 8
    expect(first.locator(".said")).to_contain_text("Error")
    expect(first.locator(".stavewright-was > p")).to_have_text("As it was before:")
    expect(first.locator(".stavewright-was svg.engraved").first).to_be_visible()
    # It cannot be played or reached, and the rest lives on.
    assert first.locator(".sound-play").is_hidden()
    assert desk.figures.nth(1).evaluate("figure => figure.isKept")
    expect(page.locator(".stavewright-preview summary")).to_have_text("1 error on this page")
    # Another block in front of it: the old figure stays with its own block.
    new = "```music\ntime: 2/4\nnotes: 1/4 C4 D4\n```\n\n"
    desk.save(("Before the first", f"{new}Before the first"))
    expect(desk.figures).to_have_count(3)
    expect(desk.figures.nth(1).locator(".stavewright-was")).to_contain_text("The first tune")
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map(element => element.id)")
    assert len(ids) == len(set(ids))
    desk.save(("H4", "A4"))
    expect(page.locator(".stavewright-broken")).to_have_count(0)
    expect(desk.figures.nth(1).locator(".sound-play")).to_be_visible()
    assert desk.is_the_same()


def test_false_claims_and_dead_links_are_marked_where_they_stand(desk: Desk) -> None:
    desk.go("answers/tune/")
    desk.save(("F7 = F A C Eb", "F7 = F A C E"), ("other.md", "othr.md"))
    claim = desk.page.locator(".claim-finding")
    expect(claim).to_contain_text("F7 is F A C Eb, not F A C E")
    assert claim.evaluate("element => element.previousElementSibling.className").startswith("claim")
    link = desk.page.locator(".link-finding")
    expect(link).to_contain_text("There is no file `othr.md`")
    assert link.evaluate("element => element.previousElementSibling.localName") == "a"


def test_the_page_follows_what_is_saved_if_asked(desk: Desk) -> None:
    desk.go("answers/tune/")
    page = desk.page
    desk.save(("The last paragraph", "The very last paragraph"), path=OTHER)
    page.wait_for_timeout(300)
    assert page.url.endswith("/answers/tune/")
    # By the keyboard alone.
    box = page.get_by_role("checkbox", name="Follow what I save")
    box.focus()
    page.keyboard.press("Space")
    long = "\n\nA line.\n" * 60
    desk.save(("\n## Far down", f"{long}\n## Far down"), path=OTHER)
    page.wait_for_url("**/answers/other/")
    expect(box).to_be_checked()
    desk.save(("The very last", "The really last"), path=OTHER)
    last = page.get_by_text("The really last paragraph")
    expect(last).to_have_class("stavewright-mark")
    assert last.evaluate(IN_VIEW)
    # To another page, and there to the very block.
    desk.save(("The second tune", "The other tune"))
    page.wait_for_url("**/answers/tune/")
    figure = desk.figures.nth(1)
    expect(figure).to_have_class(re.compile("stavewright-mark"))
    assert figure.evaluate(IN_VIEW)
    page.get_by_role("checkbox", name="Follow what I save").uncheck()
    desk.save(("The really last", "The last"), path=OTHER)
    page.wait_for_timeout(300)
    assert page.url.endswith("/answers/tune/")


def test_following_goes_to_where_something_was_taken_away(desk: Desk) -> None:
    long = "\n\nA line.\n" * 60
    desk.save(("A closing paragraph.", f"A closing paragraph.{long}\n\nAn end.\n\nA slip."))
    desk.go("answers/tune/")
    page = desk.page
    page.get_by_role("checkbox", name="Follow what I save").check()
    desk.save(("\n\nA slip.", ""))
    expect(page.get_by_text("A slip.")).to_have_count(0)
    end = page.get_by_text("An end.")
    expect(end).to_have_class("stavewright-mark")
    assert end.evaluate(IN_VIEW)
    # One that is in view already is left alone.
    place = page.evaluate("scrollY")
    desk.save(("An end.", "The end."))
    expect(page.get_by_text("The end.")).to_be_visible()
    assert page.evaluate("scrollY") == place
    assert desk.is_the_same()


def test_a_page_goes_with_its_file_when_that_is_renamed(desk: Desk) -> None:
    desk.go("answers/other/")
    page = desk.page
    page.evaluate("scrollTo(0, 60)")
    place = page.evaluate("scrollY")
    old = desk.preview.folder / OTHER
    new = old.with_name("an other na\N{LATIN SMALL LETTER I WITH DIAERESIS}ve one.md")
    old.rename(new)
    try:
        page.wait_for_url("**/answers/an-other-na*/")
        expect(page.get_by_text("The last paragraph of the other page")).to_be_attached()
        assert page.evaluate("scrollY") == place
    finally:
        new.rename(old)
    page.wait_for_url("**/answers/other/")
    # Its page is missing from the browser's list for a moment: nobody meant to ask for it.
    desk.complaints.heard = [each for each in desk.complaints.heard if "404" not in each]


def test_the_panel_says_what_is_wrong_first(desk: Desk) -> None:
    desk.go("answers/tune/")
    page = desk.page
    desk.save(("A closing", "`note: A4 = 441 Hz` closing"), ("date: ", "date: x"))
    first = page.locator(".stavewright-preview .first")
    expect(first).to_contain_text("Line 4: ")
    page.locator(".stavewright-preview summary").click()
    expect(first).to_be_hidden()
    # To its place, without leaving the page.
    page.locator(".stavewright-preview .item a").last.click()
    closing = page.locator("p", has_text="closing")
    expect(closing).to_have_class("stavewright-mark")
    assert closing.evaluate(IN_VIEW)
    assert desk.is_the_same()


def test_a_block_as_written_takes_the_room_that_there_is(desk: Desk) -> None:
    desk.save((FIRST_NOTES, f"notes: 1/4 F#4 A4 G4 {'C#5 ' * 40} H4"))
    desk.go("answers/tune/")
    page = desk.page
    code = page.locator(".stavewright-code")
    title = desk.figures.nth(1)
    # Beyond the column of text, to the edge of the window; on a phone within its column.
    assert code.evaluate(BOX)[1] > title.evaluate(BOX)[1]
    assert code.locator("mark").evaluate(BOX)[1] <= DESK["width"]
    for width in (DESK["width"], 700, 360):
        page.set_viewport_size({"width": width, "height": 740})
        expect(page.locator(".stavewright-source")).to_have_attribute("style", re.compile("room"))
        page.wait_for_timeout(100)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        left, right, *_ = code.locator("mark").evaluate(BOX)
        assert left >= 0
        assert right <= width
    assert desk.is_the_same()


def test_the_list_of_findings_leads_to_each_place(desk: Desk) -> None:
    desk.save(
        (FIRST_NOTES, "notes: 1/4 F#4 H4 G4 C#5"), ("A closing", "`note: A4 = 441 Hz` closing")
    )
    desk.save(("The last", "[The last](nowhere.md)"), path=OTHER)
    page = desk.page
    desk.go("_preview/findings")
    expect(page.locator("main section")).to_have_count(2)
    expect(page.locator("main h2").first).to_have_text(OTHER)
    items = page.locator("main .item")
    expect(items).to_have_count(3)
    items.nth(2).get_by_role("link").click()
    page.wait_for_url("**/answers/tune/")
    closing = page.locator("p", has_text="closing")
    expect(closing).to_have_class("stavewright-mark")
    assert closing.evaluate(IN_VIEW)
    page.go_back()
    items.nth(1).get_by_role("link").click()
    expect(desk.figures.nth(0)).to_have_class(re.compile("stavewright-broken stavewright-mark"))
    page.go_back()
    # It is kept up to date like any page.
    page.evaluate("window.isTheSame = true")
    desk.save(("[The last](nowhere.md)", "The last"), path=OTHER)
    expect(items).to_have_count(2)
    assert desk.is_the_same()


def test_a_style_sheet_is_swapped_and_a_picture_renewed(browser: Browser, tmp_path: Path) -> None:
    folder = tmp_path / "project"
    shutil.copytree(SITE, folder)
    theme = folder / "theme"
    (theme / "assets").mkdir(parents=True)
    (theme / "theme.yaml").write_text("name: own\n", encoding="utf-8")
    (theme / "assets/style.css").write_text("body { color: rgb(1, 2, 3) }\n", encoding="utf-8")
    picture = folder / "content/answers/dot.svg"
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="{0}" height="{0}"></svg>'
    picture.write_text(svg.format(40), encoding="utf-8")
    settings = folder / "content/site.yaml"
    settings.write_text(settings.read_text("utf-8") + "theme: ../theme\n", encoding="utf-8")
    article = folder / TUNE
    article.write_text(article.read_text("utf-8") + "\n![A dot](dot.svg)\n", encoding="utf-8")
    with running(folder, source=None) as preview:
        page = browser.new_page(viewport=DESK)
        page.goto(f"{preview.address}answers/tune/")
        page.evaluate("window.isTheSame = true")
        page.get_by_alt_text("A dot").scroll_into_view_if_needed()
        expect(page.locator("body")).to_have_css("color", "rgb(1, 2, 3)")
        style = theme / "assets/style.css"
        style.write_text("body { color: rgb(4, 5, 6) }\n", encoding="utf-8")
        expect(page.locator("body")).to_have_css("color", "rgb(4, 5, 6)")
        expect(page.get_by_alt_text("A dot")).to_have_js_property("naturalWidth", 40)
        picture.write_text(svg.format(80), encoding="utf-8")
        expect(page.get_by_alt_text("A dot")).to_have_js_property("naturalWidth", 80)
        assert page.evaluate("window.isTheSame === true")
        page.close()


def test_it_starts_before_the_content_and_comes_back_after_a_restart(
    browser: Browser, tmp_path: Path
) -> None:
    folder = tmp_path / "project"
    folder.mkdir()
    page = browser.new_page(viewport=DESK)
    with running(folder, source=None) as preview:
        page.goto(f"{preview.address}answers/tune/")
        expect(page.locator("main")).to_contain_text("there is no content folder content")
        shutil.copytree(SITE / "content", folder / "content")
        expect(page.get_by_role("heading", name="Two tunes")).to_be_visible()
        # Its script is at work.
        expect(page.get_by_role("checkbox", name="Follow what I save")).to_be_visible()
        address, port = preview.address, preview.port
    page.evaluate("window.isTheSame = true")
    expect(page.locator(".stavewright-preview .status")).to_contain_text("does not answer")
    article = folder / TUNE
    text = article.read_text("utf-8")
    article.write_text(text.replace("A closing", "Meanwhile, a closing"), encoding="utf-8")
    with running(folder, "--port", str(port), source=None) as preview:
        assert preview.address == address
        expect(page.get_by_text("Meanwhile, a closing")).to_be_visible()
        expect(page.locator(".stavewright-preview .status")).to_be_empty()
        assert page.evaluate("window.isTheSame === true")
    page.close()


def test_the_panel_stays_as_its_reader_left_it(desk: Desk) -> None:
    desk.save(("other.md", "othr.md"))
    desk.go("answers/tune/")
    page = desk.page
    message = page.locator(".stavewright-preview .item").get_by_text("There is no file `othr.md`")
    expect(message).to_be_hidden()
    page.locator(".stavewright-preview summary").click()
    expect(message).to_be_visible()
    desk.save(("A closing", "`chord: F7 = F A C E` closing"))
    expect(page.locator(".stavewright-preview summary")).to_have_text("2 errors on this page")
    expect(message).to_be_visible()
    page.reload()
    expect(message).to_be_visible()
    # The end of the page can be scrolled out from under it.
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    end = page.locator("footer.colophon").bounding_box()
    panel = page.locator(".stavewright-preview").bounding_box()
    assert end
    assert panel
    assert end["y"] + end["height"] <= panel["y"] + 1


def test_a_broken_theme_is_said_in_the_panel_and_the_page_stays(
    browser: Browser, tmp_path: Path
) -> None:
    with running(tmp_path / "project") as preview:
        page = browser.new_page(viewport=DESK)
        page.goto(f"{preview.address}answers/minor/")
        page.evaluate("window.isTheSame = true")
        template = preview.folder / "theme/templates/base.html"
        text = template.read_text("utf-8")
        template.write_text(text.replace("page.title", "page.titel"), encoding="utf-8")
        status = page.locator(".stavewright-preview .status")
        expect(status).to_contain_text("theme/templates/base.html:5")
        expect(page.get_by_text("Back to")).to_be_visible()
        template.write_text(text.replace("<main>", "<main><p>Mended.</p>"), encoding="utf-8")
        expect(page.get_by_text("Mended.")).to_be_visible()
        expect(status).to_be_empty()
        assert page.evaluate("window.isTheSame === true")
        page.close()
