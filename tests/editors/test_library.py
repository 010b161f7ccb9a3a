"""What lies around a document: read when it is asked for, and again when it has changed."""

from pathlib import Path

from stavewright.editors.library import Library


def found(library: Library, place: Path) -> list[str]:
    document = library.get(place)
    assert document is not None
    return [finding.rule for finding in library.findings(document)]


def page(text: str, more: str = "") -> str:
    return f"---\ntitle: T\nkind: page\n{more}---\n\n{text}\n"


def test_a_document_outside_a_site_stands_among_the_files_beside_it(tmp_path: Path) -> None:
    (tmp_path / "other.md").write_text(page("## Here"), "utf-8")
    library = Library()
    place = tmp_path / "page.md"
    library.put(place, page("[a](other.md#here) [b](other.md#there) [c](gone.md) [d](term:x)"))
    assert found(library, place) == ["link", "link"]
    document = library.get(place)
    assert document is not None
    assert library.paths(document) == {"other.md"}


def test_settings_count_as_soon_as_they_are_saved(tmp_path: Path) -> None:
    now = 0.0
    library = Library(clock=lambda: now)
    place = tmp_path / "page.md"
    (tmp_path / "site.yaml").write_text("name: T\n", "utf-8")
    library.put(place, page("<font>x</font> [t](term:sixth) [d](draft.md)"))
    (tmp_path / "draft.md").write_text(page("", "draft: true\n"), "utf-8")
    assert found(library, place) == ["syntax", "term", "link"]
    (tmp_path / "site.yaml").write_text("name: T\nraw_html: true\n", "utf-8")
    (tmp_path / "glossary.md").write_text(page("Sixth\n: Six."), "utf-8")
    now = 10.0
    library.put(place, page("<font>x</font> [t](term:sixth) [d](draft.md)"))
    assert found(library, place) == ["link"]
    (tmp_path / "draft.md").unlink()
    now = 20.0
    assert found(library, place) == ["link"]
    (tmp_path / "draft.md").write_text(page("now it is published"), "utf-8")
    assert found(library, place) == []


def test_only_what_is_linked_to_is_read(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text("name: T\n", "utf-8")
    for number in range(30):
        (tmp_path / f"{number}.md").write_text(page("x"), "utf-8")
    library = Library()
    place = tmp_path / "page.md"
    library.put(place, page("[x](3.md) [y](7.md#x)"))
    document = library.get(place)
    assert document is not None
    assert set(library.surroundings(document).articles) == {"page.md", "3.md", "7.md"}
    assert len(library.paths(document)) == 30


def test_a_file_that_cannot_be_read_is_none(tmp_path: Path) -> None:
    (tmp_path / "folder.md").mkdir()
    library = Library()
    place = tmp_path / "page.md"
    library.put(place, page("[x](folder.md) [y](\0.md)"))
    found(library, place)
    library.close(place)
    assert library.get(place) is None
    assert library.open_documents == ()
