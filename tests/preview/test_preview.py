"""The preview, a real process asked by real requests: shown, watched, rebuilt, stopped."""

import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.preview.running import PATIENCE, Events, Preview, running, save


@pytest.fixture(scope="module")
def preview(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Preview]:
    with running(tmp_path_factory.mktemp("preview") / "project") as preview:
        yield preview


def test_pages_are_shown_with_a_script_and_nothing_from_elsewhere(preview: Preview) -> None:
    status, headers, text = preview.get("/answers/cadence/")
    assert status == 200
    assert headers["content-type"] == "text/html; charset=utf-8"
    assert headers["cache-control"] == "no-store"
    policy = headers["content-security-policy"]
    assert "default-src 'none'; script-src 'self'; style-src 'self'" in policy
    assert "unsafe" not in policy
    assert '<script type="module" src="/_preview/preview.js"></script>' in text
    assert preview.get("/_preview/preview.js")[1]["content-type"].startswith("text/javascript")


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


HOSTILE = (Path(__file__).parent / "hostile_paths.txt").read_text("utf-8").split("\n")


@pytest.mark.parametrize("path", [line for line in HOSTILE if line and line[0] != "#"])
def test_no_path_leads_out_of_the_site(preview: Preview, path: str) -> None:
    status, headers, text = preview.get(path)
    assert status == 404
    assert "location" not in headers
    for secret in ("publish:", "root:", "def make_app", "Index of"):
        assert secret not in text


@pytest.mark.parametrize(
    "host",
    [
        "elsewhere.example",
        "127.0.0.1.elsewhere.example",
        "10.0.0.1",
        "127.0.0.1",
        "127.0.0.1:1",
        "127.0.0.1:{port}.elsewhere.example",
        "elsewhere.example:{port}",
        "localhost:{port}@elsewhere.example",
        "0.0.0.0:{port}",
        "127.1:{port}",
        "",
    ],
)
def test_a_request_that_names_another_host_is_refused(preview: Preview, host: str) -> None:
    for path in ("/", "/_preview/events", "/_preview/findings"):
        assert preview.get(path, host=host.format(port=preview.port))[0] == 400


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1", "LOCALHOST", "[::1]"])
def test_this_machine_may_be_called_by_its_own_names(preview: Preview, host: str) -> None:
    assert preview.get("/", host=f"{host}:{preview.port}")[0] == 200


def test_pages_of_other_hosts_may_lead_here_but_not_read_along(preview: Preview) -> None:
    elsewhere = {"Sec-Fetch-Site": "cross-site"}
    assert preview.get("/", headers={**elsewhere, "Sec-Fetch-Mode": "navigate"})[0] == 200
    for mode in ("no-cors", "cors", "websocket"):
        assert preview.get("/", headers={**elsewhere, "Sec-Fetch-Mode": mode})[0] == 403
        events = preview.get("/_preview/events", headers={**elsewhere, "Sec-Fetch-Mode": mode})
        assert events[0] == 403


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "TRACE"])
def test_nothing_can_be_done_but_to_look(preview: Preview, method: str) -> None:
    for path in ("/", "/_preview/findings", "/_preview/preview.js"):
        assert preview.get(path, method=method)[0] == 405


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
    assert "1 error on this page" in text
    assert "<svg" in preview.get("/answers/cadence/")[2]
    save(preview, "content/answers/minor.md", ("notes: 1/4 H4", "notes: 1/4 F#4"))
    assert "1 error on this page" not in preview.get("/answers/minor/")[2]


def test_a_broken_theme_gives_one_clear_page_and_the_preview_lives_on(preview: Preview) -> None:
    save(preview, "theme/templates/base.html", ("{{ page.title }}", "{{ page.titel }}"))
    status, _, text = preview.get("/")
    assert status >= 500
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
            assert status >= 500
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
    assert '<strong class="claim-finding">[line 7: ' in text
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


@pytest.mark.skipif(os.name == "nt", reason="the test's browser is a shell script")
def test_it_opens_the_browser_where_it_is_served(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = tmp_path / "told"
    browser = tmp_path / "browser"
    browser.write_text(f'#!/bin/sh\necho "$1" > {told}\n', encoding="utf-8")
    browser.chmod(0o755)
    monkeypatch.setenv("BROWSER", f"{browser} %s")
    with running(tmp_path / "project", "--open") as preview:
        assert preview.get("/")[0] == 200
        for _ in range(200):
            if told.exists() and told.read_text("utf-8"):
                break
            time.sleep(0.05)
        assert told.read_text("utf-8").strip() == preview.address


def test_others_are_let_in_only_if_told_and_with_a_warning(tmp_path: Path) -> None:
    with running(tmp_path / "project", "--host", "0.0.0.0") as preview:
        assert preview.get("/", host=f"192.168.1.7:{preview.port}")[0] == 200
        assert preview.get("/", host=f"elsewhere.example:{preview.port}")[0] == 400
        preview.process.send_signal(signal.SIGINT)
        assert preview.process.wait(timeout=PATIENCE) == 0
        assert preview.process.stderr is not None
        assert "everyone who can reach this machine" in preview.process.stderr.read()
