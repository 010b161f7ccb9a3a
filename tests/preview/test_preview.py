"""The preview, a real process asked by real requests: shown, watched, rebuilt, stopped."""

import http.client
import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Thread
from typing import Self

import pytest

SMALL = Path(__file__).parent.parent / "site" / "small"
PATIENCE = 30.0


@dataclass
class Preview:
    """A running preview."""

    process: "subprocess.Popen[str]"
    port: int
    folder: Path

    def get(self, path: str, host: str | None = None) -> tuple[int, dict[str, str], str]:
        """Status, headers and text of one request."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        try:
            connection.putrequest("GET", path, skip_host=True)
            connection.putheader("Host", host or f"127.0.0.1:{self.port}")
            connection.endheaders()
            answer = connection.getresponse()
            headers = {name.lower(): value for name, value in answer.getheaders()}
            return answer.status, headers, answer.read().decode("utf-8", "replace")
        finally:
            connection.close()

    def built(self) -> int:
        """The number of the build that the home page comes from."""
        match = re.search(r'data-build="(\d+)"', self.get("/")[2])
        assert match
        return int(match[1])


@pytest.fixture(scope="module")
def preview(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Preview]:
    with running(tmp_path_factory.mktemp("preview") / "project") as preview:
        yield preview


@contextmanager
def running(folder: Path) -> Iterator[Preview]:
    """A preview of the small site, ended however the test ends."""
    shutil.copytree(SMALL, folder)
    process = _start(folder)
    assert process.stdout is not None
    assert process.stderr is not None
    try:
        line = process.stdout.readline()
        match = re.search(r"http://127\.0\.0\.1:(\d+)/", line)
        assert match, line + process.stderr.read()
        # Read on, so that the pipe never fills.
        reader = Thread(target=process.stdout.read, daemon=True)
        reader.start()
        yield Preview(process, int(match[1]), folder)
        process.kill()
        reader.join()
    finally:
        process.kill()
        process.wait()
        process.stdout.close()
        process.stderr.close()


def _start(folder: Path) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-m", "stavewright", "preview"],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )


class Events:
    """The stream of news, line by line."""

    def __init__(self, port: int) -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
        self._connection.request("GET", "/_preview/events")
        self.answer = self._connection.getresponse()

    def wait_for(self, number: int) -> None:
        """Return when a build with this number or a later one is announced."""
        # Each line comes within the connection's timeout, or fails the test.
        for line in self.answer:
            if line.startswith(b"data: ") and int(line[6:]) >= number:
                return
        raise AssertionError(f"the stream ended before build {number} was announced")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.answer.close()
        self._connection.close()


def save(preview: Preview, path: str, change: tuple[str, str]) -> None:
    """Change a file the way editors do (write aside, then rename), and wait for the news of it."""
    file = preview.folder / path
    text = file.read_text("utf-8")
    assert change[0] in text
    with Events(preview.port) as events:
        number = preview.built()
        aside = file.with_name(f".{file.name}.new")
        aside.write_text(text.replace(*change), encoding="utf-8")
        aside.replace(file)
        events.wait_for(number + 1)


def test_pages_are_shown_with_a_script_and_nothing_from_elsewhere(preview: Preview) -> None:
    status, headers, text = preview.get("/answers/cadence/")
    assert status == 200
    assert headers["content-type"] == "text/html; charset=utf-8"
    assert headers["cache-control"] == "no-store"
    assert "default-src 'self'" in headers["content-security-policy"]
    assert '<script src="/_preview/reload.js" data-build="' in text
    assert preview.get("/_preview/reload.js")[1]["content-type"].startswith("text/javascript")


def test_drafts_are_shown(preview: Preview) -> None:
    assert "Not ready" in preview.get("/answers/later/")[2]


def test_pictures_and_feeds_have_their_types(preview: Preview) -> None:
    assert preview.get("/answers/bell.svg")[1]["content-type"] == "image/svg+xml"
    assert preview.get("/feed.xml")[1]["content-type"].startswith("application/xml")


def test_an_address_without_its_slash_is_sent_on(preview: Preview) -> None:
    status, headers, _ = preview.get("/answers/cadence")
    assert status == 307
    assert headers["location"] == "/answers/cadence/"


def test_a_missing_page_is_the_sites_own_with_links_from_the_root(preview: Preview) -> None:
    status, _, text = preview.get("/no/such/page/")
    assert status == 404
    assert 'href="/answers/cadence/"' in text


@pytest.mark.parametrize(
    "path",
    [
        "/../content/site.yaml",
        "/%2e%2e/content/site.yaml",
        "/..%2f..%2fetc/passwd",
        "/answers/..%2f..%2fcontent%2fsite.yaml",
        "//etc/passwd",
        "/site.yaml",
        "/_preview/../app.py",
        "/_preview/%2e%2e%2fapp.py",
        "/\\..\\content",
        "/%00",
    ],
)
def test_no_path_leads_out_of_the_site(preview: Preview, path: str) -> None:
    status, headers, text = preview.get(path)
    assert status == 404
    assert "location" not in headers
    assert "publish:" not in text
    assert "root:" not in text


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "10.0.0.1"])
def test_a_request_that_names_another_host_is_refused(preview: Preview, host: str) -> None:
    assert preview.get("/", host)[0] == 400


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1"])
def test_this_machine_may_be_called_by_either_name(preview: Preview, host: str) -> None:
    assert preview.get("/", f"{host}:{preview.port}")[0] == 200


def test_news_come_as_server_sent_events(preview: Preview) -> None:
    with Events(preview.port) as events:
        assert events.answer.getheader("content-type", "").startswith("text/event-stream")
        events.wait_for(preview.built())


def test_a_save_is_built_and_announced(preview: Preview) -> None:
    save(preview, "content/answers/minor.md", ("Back to", "Well, back to"))
    assert "Well, back to" in preview.get("/answers/minor/")[2]


def test_a_mistake_is_shown_where_it_is_and_goes_away_again(preview: Preview) -> None:
    save(preview, "content/answers/minor.md", ("notes: 1/4 F#4", "notes: 1/4 H4"))
    status, _, text = preview.get("/answers/minor/")
    assert status == 200
    assert '<p class="finding">content/answers/minor.md:' in text
    assert "stavewright-preview" in text
    assert "<svg" in preview.get("/answers/cadence/")[2]
    save(preview, "content/answers/minor.md", ("notes: 1/4 H4", "notes: 1/4 F#4"))
    assert '<p class="finding">' not in preview.get("/answers/minor/")[2]


def test_a_broken_theme_gives_one_clear_page_and_the_preview_lives_on(preview: Preview) -> None:
    save(preview, "theme/templates/base.html", ("{{ page.title }}", "{{ page.titel }}"))
    status, _, text = preview.get("/")
    assert status == 500
    assert "theme/templates/base.html:5" in text
    assert "Traceback" not in text
    save(preview, "theme/templates/base.html", ("{{ page.titel }}", "{{ page.title }}"))
    assert preview.get("/")[0] == 200


@pytest.mark.parametrize("away", ["moved", "deleted", "replaced"])
def test_the_content_folder_may_go_and_come_back(preview: Preview, away: str) -> None:
    content, aside = preview.folder / "content", preview.folder.parent / f"aside-{away}"
    number = preview.built()
    with Events(preview.port) as events:
        if away == "moved":
            content.rename(aside)
        else:
            shutil.copytree(content, aside)
            shutil.rmtree(content)
        if away != "replaced":
            events.wait_for(number + 1)
            status, _, text = preview.get("/")
            assert status == 500
            assert "there is no content folder content" in text
            number = preview.built()
        shutil.move(aside, content)
        events.wait_for(number + 1)
    assert preview.get("/answers/minor/")[0] == 200
    save(preview, "content/answers/minor.md", ("[the cad", f"{away} [the cad"))
    assert f"{away} <a" in preview.get("/answers/minor/")[2]
    save(preview, "content/answers/minor.md", (f"{away} [the cad", "[the cad"))


def test_a_false_claim_is_marked_where_it_stands(preview: Preview) -> None:
    wrong = ("[the cad", "`chord: F7 = F A C E` [the cad")
    save(preview, "content/answers/minor.md", wrong)
    text = preview.get("/answers/minor/")[2]
    assert '<strong class="claim-finding">[content/answers/minor.md:7:' in text
    assert "F7 is F A C Eb, not F A C E]</strong>" in text
    save(preview, "content/answers/minor.md", wrong[::-1])
    assert "claim-finding" not in preview.get("/answers/minor/")[2]


def test_nothing_is_written_into_the_project(preview: Preview) -> None:
    assert {path.name for path in preview.folder.iterdir()} == {"content", "theme"}


def test_a_port_in_use_is_an_error_only_if_it_was_asked_for(preview: Preview) -> None:
    command = [sys.executable, "-m", "stavewright", "preview", "--port", str(preview.port)]
    run = subprocess.run(command, cwd=preview.folder, capture_output=True, text=True, check=False)
    assert run.returncode == 2
    assert run.stderr == (
        f"stavewright: port {preview.port} cannot be used (Address already in use).\n"
    )


@pytest.mark.skipif(os.name == "nt", reason="there is no such signal")
def test_ctrl_c_stops_it_at_once_even_while_a_browser_listens(tmp_path: Path) -> None:
    with running(tmp_path / "project") as preview:
        with Events(preview.port) as events:
            events.wait_for(1)
            preview.process.send_signal(signal.SIGINT)
            assert preview.process.wait(timeout=PATIENCE) == 0
        assert preview.process.stderr is not None
        assert preview.process.stderr.read() == ""
