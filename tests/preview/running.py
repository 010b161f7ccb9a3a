"""A preview that runs, for tests: a real process, asked by real requests."""

import html
import http.client
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import Condition, Thread
from typing import Any, Self

SMALL = Path(__file__).parent.parent / "site" / "small"
PATIENCE = 30.0

_NEWS = re.compile(r'data-news="([^"]*)"')


@dataclass
class Preview:
    """A running preview."""

    process: "subprocess.Popen[str]"
    port: int
    folder: Path
    said: list[str] = field(default_factory=list)
    """What it said on the terminal so far."""
    heard: Condition = field(default_factory=Condition)

    @property
    def address(self) -> str:
        """Where it is."""
        return f"http://127.0.0.1:{self.port}/"

    def get(
        self,
        path: str,
        *,
        host: str | None = None,
        headers: Mapping[str, str] | None = None,
        method: str = "GET",
    ) -> tuple[int, dict[str, str], str]:
        """Status, headers and text of one request."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        # Targets that no well-behaved client would send are what some tests are about.
        connection._validate_path = lambda _: None  # type: ignore[attr-defined]
        try:
            connection.putrequest(method, path, skip_host=True)
            connection.putheader("Host", f"127.0.0.1:{self.port}" if host is None else host)
            for name, value in (headers or {}).items():
                connection.putheader(name, value)
            connection.endheaders()
            answer = connection.getresponse()
            found = {name.lower(): value for name, value in answer.getheaders()}
            return answer.status, found, answer.read().decode("utf-8", "replace")
        finally:
            connection.close()

    def news(self, path: str = "/") -> dict[str, Any]:
        """What a page says of the build that it comes from."""
        match = _NEWS.search(self.get(path)[2])
        assert match
        news: dict[str, Any] = json.loads(html.unescape(match[1]))
        return news

    def built(self) -> int:
        """The number of the build that the home page comes from."""
        return int(self.news()["number"])

    def listen(self) -> None:
        """Keep what it says; whoever waits for words is told."""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            with self.heard:
                self.said.append(line)
                self.heard.notify_all()

    def wait_for_words(self, words: str, patience: float = PATIENCE) -> None:
        """Return when it has said something that contains these words."""
        with self.heard:
            found = self.heard.wait_for(lambda: any(words in line for line in self.said), patience)
        assert found, self.said


@contextmanager
def running(
    folder: Path, *more: str, source: Path | None = SMALL, patience: float = PATIENCE
) -> Iterator[Preview]:
    """A preview of the small site, or of what `folder` is, ended however the test ends."""
    if source is not None:
        shutil.copytree(source, folder)
    process = start(folder, *more)
    assert process.stdout is not None
    assert process.stderr is not None
    reader = None
    try:
        line = process.stdout.readline()
        match = re.search(r"http://127\.0\.0\.1:(\d+)/", line)
        assert match, line + process.stderr.read()
        preview = Preview(process, int(match[1]), folder, [line])
        # Read on, so that the pipe never fills.
        reader = Thread(target=preview.listen, daemon=True)
        reader.start()
        preview.wait_for_words("Build 1:", patience)
        yield preview
    finally:
        process.kill()
        process.wait()
        if reader is not None:
            reader.join()
        process.stdout.close()
        process.stderr.close()


def start(folder: Path, *more: str) -> "subprocess.Popen[str]":
    """Start the preview of a folder."""
    return subprocess.Popen(
        [sys.executable, "-m", "stavewright", "preview", *more],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={"STAVEWRIGHT_STORE": "none", **os.environ, "PYTHONUNBUFFERED": "1"},
    )


class Events:
    """The stream of news, line by line."""

    def __init__(self, port: int, page: str = "/") -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
        self._connection.request("GET", f"/_preview/events?page={page}")
        self.answer = self._connection.getresponse()

    def each(self) -> Iterator[dict[str, Any]]:
        """Each piece of news, as it comes."""
        # Each line comes within the connection's timeout, or fails the test.
        for line in self.answer:
            if line.startswith(b"data: {"):
                yield json.loads(line[6:])

    def wait_for(self, number: int) -> dict[str, Any]:
        """The news of a build with this number or a later one."""
        for news in self.each():
            if news["number"] >= number:
                return news
        raise AssertionError(f"the stream ended before build {number} was announced")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.answer.close()
        self._connection.close()


def save(preview: Preview, path: str, change: tuple[str, str]) -> dict[str, Any]:
    """Change a file the way editors do (write aside, then rename), and wait for the news of it."""
    file = preview.folder / path
    text = file.read_text("utf-8")
    assert change[0] in text
    with Events(preview.port) as events:
        number = preview.built()
        aside = file.with_name(f".{file.name}.new")
        aside.write_text(text.replace(*change), encoding="utf-8")
        aside.replace(file)
        return events.wait_for(number + 1)
