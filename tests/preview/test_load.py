"""The preview under load: many browsers, many saves, folders that move."""

import http.client
import shutil
import socket
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event, Thread

import pytest

from stavewright.preview.hub import MOST_LISTENERS
from tests.preview.running import PATIENCE, Events, Preview, running, save

MINOR = "content/answers/minor.md"


@pytest.fixture(scope="module")
def preview(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Preview]:
    with running(tmp_path_factory.mktemp("preview") / "project") as preview:
        yield preview


def streams(preview: Preview, number: int) -> list[socket.socket]:
    """Connections that ask for news and then say no more."""
    opened = []
    request = f"GET /_preview/events HTTP/1.1\r\nHost: 127.0.0.1:{preview.port}\r\n\r\n"
    for _ in range(number):
        connection = socket.create_connection(("127.0.0.1", preview.port), timeout=PATIENCE)
        connection.sendall(request.encode())
        opened.append(connection)
    return opened


def until(connection: socket.socket, words: bytes) -> bytes:
    """What comes on a connection until certain words have come."""
    found = b""
    while words not in found:
        more = connection.recv(65536)
        assert more, f"it ended before {words!r}: {found!r}"
        found += more
    return found


def test_five_hundred_connections_do_not_take_it_down(preview: Preview) -> None:
    opened = streams(preview, 500)
    try:
        until(opened[-1], b"event: built")
        begun = time.monotonic()
        assert preview.get("/answers/minor/")[0] == 200
        assert time.monotonic() - begun < 5
        # The oldest are asked to come again later; the newest hear the news.
        assert b"event: full" in until(opened[0], b"event: full")
        assert b"event: full" in until(opened[500 - MOST_LISTENERS - 1], b"event: full")
        save(preview, MINOR, ("Back to", "Well, back to"))
        until(opened[-1], b'"edited": {"build"')
    finally:
        for connection in opened:
            connection.close()
    save(preview, MINOR, ("Well, back to", "Back to"))
    assert preview.get("/answers/minor/")[0] == 200


def test_connections_that_say_nothing_do_not_take_it_down(preview: Preview) -> None:
    address = ("127.0.0.1", preview.port)
    opened = [socket.create_connection(address, timeout=PATIENCE) for _ in range(300)]
    for connection in opened[::2]:
        connection.sendall(b"GET / HT")
    assert preview.get("/answers/minor/")[0] == 200
    for connection in opened:
        connection.close()


@pytest.mark.parametrize("seconds", [2, pytest.param(60, marks=pytest.mark.slow)])
def test_a_hundred_saves_a_second(preview: Preview, seconds: int) -> None:
    file = preview.folder / MINOR
    text = file.read_text("utf-8")
    stopped = Event()
    statuses: list[int] = []
    reader = Thread(target=lambda: read_on(preview, stopped, statuses), daemon=True)
    reader.start()
    before = preview.built()
    begun = time.monotonic()
    try:
        for number in range(seconds * 100):
            file.write_text(text.replace("Back to", f"Save {number} back to"), encoding="utf-8")
            time.sleep(max(0.0, begun + (number + 1) / 100 - time.monotonic()))
        during = preview.built()
        last = f"Save {seconds * 100 - 1} back to"
        assert comes(lambda: last in preview.get("/answers/minor/")[2])
    finally:
        stopped.set()
        reader.join()
        file.write_text(text, encoding="utf-8")
    # It is never too busy to show something new, nor does it build once a save.
    assert during - before >= seconds
    assert preview.built() - before < seconds * 20
    assert set(statuses) == {200}
    assert comes(lambda: "Save" not in preview.get("/answers/minor/")[2])


def read_on(preview: Preview, stopped: Event, statuses: list[int]) -> None:
    while not stopped.is_set():
        statuses.append(preview.get("/answers/minor/")[0])
        time.sleep(0.05)


def comes(what: Callable[[], bool]) -> bool:
    """Whether something becomes so before long."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if what():
            return True
        time.sleep(0.02)
    return False


def over_it(file: Path, text: str) -> None:
    file.write_text(text, encoding="utf-8")


def in_two_steps(file: Path, text: str) -> None:
    with file.open("w", encoding="utf-8") as stream:
        stream.write(text[:40])
        stream.flush()
        time.sleep(0.01)
        stream.write(text[40:])


def aside_hidden(file: Path, text: str) -> None:
    aside = file.with_name(f".{file.name}.swp1")
    aside.write_text(text, encoding="utf-8")
    aside.replace(file)


def aside_in_view(file: Path, text: str) -> None:
    aside = file.with_name(f"{file.name}.tmp")
    aside.write_text(text, encoding="utf-8")
    aside.replace(file)


def with_backup(file: Path, text: str) -> None:
    backup = file.with_name(f"{file.name}~")
    file.replace(backup)
    file.write_text(text, encoding="utf-8")
    backup.unlink()


def deleted_first(file: Path, text: str) -> None:
    file.unlink()
    time.sleep(0.02)
    file.write_text(text, encoding="utf-8")


def from_elsewhere(file: Path, text: str) -> None:
    aside = file.parents[3] / "elsewhere.md"
    aside.write_text(text, encoding="utf-8")
    aside.replace(file)


HABITS = [
    over_it,
    in_two_steps,
    aside_hidden,
    aside_in_view,
    with_backup,
    deleted_first,
    from_elsewhere,
]


@pytest.mark.parametrize("habit", HABITS, ids=lambda habit: habit.__name__)
def test_however_an_editor_saves(preview: Preview, habit: Callable[[Path, str], None]) -> None:
    file = preview.folder / MINOR
    text = file.read_text("utf-8")
    words = f"Saved {habit.__name__.replace('_', ' ')}, back to"
    habit(file, text.replace("Back to", words))
    assert comes(lambda: words in preview.get("/answers/minor/")[2])
    assert preview.get("/answers/minor.md.tmp")[0] == 404
    habit(file, text)
    assert comes(lambda: words not in preview.get("/answers/minor/")[2])


def test_what_editors_put_beside_a_file_is_no_news(preview: Preview) -> None:
    before = preview.built()
    folder = preview.folder / "content/answers"
    names = [".minor.md.swp", "minor.md~", "#minor.md#", ".#minor.md", "4913", "minor.md.bak"]
    for name in names:
        (folder / name).write_text("beside", encoding="utf-8")
        (folder / name).unlink()
    save(preview, MINOR, ("Back to", "So, back to"))
    assert preview.built() == before + 1
    save(preview, MINOR, ("So, back to", "Back to"))


def test_whole_folders_may_move(preview: Preview) -> None:
    answers, replies = preview.folder / "content/answers", preview.folder / "content/replies"
    answers.rename(replies)
    assert comes(lambda: preview.get("/replies/minor/")[0] == 200)
    assert preview.get("/answers/minor/")[0] == 404
    # What moved is watched where it is now.
    file = replies / "minor.md"
    text = file.read_text("utf-8")
    file.write_text(text.replace("Back to", "Moved, back to"), encoding="utf-8")
    assert comes(lambda: "Moved, back to" in preview.get("/replies/minor/")[2])
    file.write_text(text, encoding="utf-8")
    outside = preview.folder / "outside"
    replies.rename(outside)
    assert comes(lambda: preview.get("/replies/minor/")[0] == 404)
    shutil.move(outside, answers)
    assert comes(lambda: preview.get("/answers/minor/")[0] == 200)
    save(preview, MINOR, ("Back to", "Home, back to"))
    save(preview, MINOR, ("Home, back to", "Back to"))


def test_a_file_that_becomes_a_link_out_of_the_content_is_not_given(preview: Preview) -> None:
    picture = preview.folder / "content/answers/bell.svg"
    kept = picture.read_bytes()
    secret = preview.folder / "secret.svg"
    secret.write_text("<svg>secret</svg>", encoding="utf-8")
    try:
        picture.unlink()
        picture.symlink_to(secret)
        for _ in range(20):
            assert "secret" not in preview.get("/answers/bell.svg")[2]
            time.sleep(0.02)
    finally:
        picture.unlink()
        picture.write_bytes(kept)
    assert comes(lambda: preview.get("/answers/bell.svg")[0] == 200)


def test_news_name_the_page_and_the_line(preview: Preview) -> None:
    with Events(preview.port, "/answers/minor/") as mine, Events(preview.port) as home:
        first, other = next(mine.each()), next(home.each())
        news = save(preview, MINOR, ("Back to", "Here, back to"))
        assert news["edited"]["address"] == "/answers/minor/"
        assert news["edited"]["line"] == 7
        # The page that shows it has other things to show now, the home page has not.
        assert mine.wait_for(news["number"])["page"] != first["page"]
        assert home.wait_for(news["number"])["page"] == other["page"]
    save(preview, MINOR, ("Here, back to", "Back to"))


def test_a_stream_that_is_left_is_forgotten(preview: Preview) -> None:
    for _ in range(MOST_LISTENERS + 5):
        connection = http.client.HTTPConnection("127.0.0.1", preview.port, timeout=PATIENCE)
        connection.request("GET", "/_preview/events")
        connection.getresponse().close()
        connection.close()
    save(preview, MINOR, ("Back to", "Again, back to"))
    save(preview, MINOR, ("Again, back to", "Back to"))
