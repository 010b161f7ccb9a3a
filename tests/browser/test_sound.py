"""The player in a real browser: what it renders is in tune and in time, and it obeys the reader.

The rendering is measured from its samples; what is expected comes from the Score's own Fractions
and from equal temperament (A4 at 440 Hz, ISO 16), not from the player.
"""

import base64
import json
import threading
from collections.abc import Iterator
from functools import partial
from http.server import ThreadingHTTPServer

import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import Browser, Page

from stavewright.figures.sound import encode, encode_claim, perform, perform_claim
from stavewright.notation import parse_block, parse_claim
from stavewright.site.making.workshop import Workshop
from stavewright.site.pipeline import build
from stavewright.site.stages.values import Options, Tools
from tests.browser.test_pages import DESK, Complaints, _Quiet
from tests.browser.test_pages import browser as browser
from tests.listening import RATE, cents, equal, frequency, onsets

pytestmark = pytest.mark.browser

ARTICLE = """---
title: Heard
date: 2025-03-01
---

The scale `scale: D dorian = D E F G A B C` and the chord `chord: F7 = F A C Eb`.

```music
time: 4/4
tempo: 1/4 at 120
show: staff keyboard grid names
staves: treble(right) bass(left)
right: 1/4 C4 D4 E4 F4
left: 1/1 C3
```

```music
time: 4/4
tempo: 1/4 at 240
drums: 1/4 kick snare@-1/48 kick snare
```
"""
# Renders a JSON of the player's, or a claim's, and gives the samples in base64.
RENDER = """async ([modules, data, rate, pace]) => {
  const { openOutput } = await import(`${modules}/sound-synth.js`);
  const { readScore, sound } = await import(`${modules}/sound-transport.js`);
  const score = readScore(data);
  const seconds = score.length / pace + 0.5;
  const context = new OfflineAudioContext(1, Math.ceil(seconds * rate), rate);
  const output = openOutput(context);
  for (const moment of score.moments) {
    if (moment.kind !== "beat") sound(output, score, moment, 0.05 + moment.at / pace, pace);
  }
  const samples = (await context.startRendering()).getChannelData(0);
  const bytes = new Uint8Array(samples.buffer);
  let text = "";
  for (let at = 0; at < bytes.length; at += 32768) {
    text += String.fromCharCode(...bytes.subarray(at, at + 32768));
  }
  return btoa(text);
}"""
# Keeps a list of what is lit, and when.
WATCH = """() => {
  window.lit = [];
  new MutationObserver((changes) => {
    for (const { target } of changes) {
      if (target.classList.contains("sounding") && target.closest(".wide, .drawing")) {
        lit.push([performance.now(), target.dataset.id ?? `key ${target.dataset.key}`]);
      }
    }
  }).observe(document.body, { subtree: true, attributeFilter: ["class"] });
}"""


@pytest.fixture(scope="module")
def host(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    folder = tmp_path_factory.mktemp("heard")
    (folder / "content").mkdir()
    settings = "name: Heard\naddress: https://heard.example\nauthor: The band\nabout: Tests.\n"
    (folder / "content/site.yaml").write_text(settings, "utf-8")
    (folder / "content/heard.md").write_text(ARTICLE, "utf-8")
    with Workshop(1) as makers:
        report = build(folder / "content", folder / "site", Options(root="/"), Tools(makers))
    assert report.written, report.findings
    handler = partial(_Quiet, directory=str(folder / "site"))
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()
    thread.join()


@pytest.fixture
def page(browser: Browser, host: str) -> Iterator[Page]:
    """The page, which must have nothing to complain of in the end."""
    # Waiting for an expression evaluates it in the page, which the policy of built pages forbids.
    page = browser.new_page(viewport=DESK, bypass_csp=True)
    page.add_init_script(
        "window.opened = 0; const Old = AudioContext;"
        "window.AudioContext = class extends Old { constructor(o) { super(o); opened += 1; } };"
    )
    complaints = Complaints()
    complaints.listen(page, host)
    page.goto(f"{host}heard/", wait_until="load")
    page.wait_for_selector(".sound:not([hidden])")
    yield page
    page.close()
    assert complaints.heard == []


def render(page: Page, data: str, pace: float = 1.0) -> NDArray[np.float32]:
    script = page.locator("script[defer]").get_attribute("src") or ""
    modules = page.evaluate("src => new URL('.', new URL(src, location)).href.slice(0, -1)", script)
    text = page.evaluate(RENDER, [modules, json.loads(data), RATE, pace])
    return np.frombuffer(base64.b64decode(text), dtype=np.float32)


def test_a_scale_in_the_prose_is_in_tune(page: Page) -> None:
    claim = parse_claim("scale: D dorian = D E F G A B C")
    assert claim is not None
    sound = perform_claim(claim)
    assert sound is not None
    rows = json.loads(encode_claim(sound))["notes"]
    length = max(at + long for at, long, *_ in rows)
    data = {"length": length, "notes": [[at, long, key, 0, 71, ""] for at, long, key, _ in rows]}
    samples = render(page, json.dumps(data))
    dorian = [62, 64, 65, 67, 69, 71, 72, 74]
    for place, key in enumerate(dorian):
        # From after the last note's tail to before this one's end.
        start, end = (int((0.05 + place * 0.4 + at) * RATE) for at in (0.16, 0.39))
        found = frequency(samples[start:end], equal(key))
        assert abs(cents(found, equal(key))) <= 1, (key, found)


def test_a_figure_is_in_tune_with_its_cents_and_its_reference(page: Page) -> None:
    block = "tuning: A4 442\ntime: 4/4\ntempo: 1/4 at 60\nnotes: 1/4 A4 C5 E(-14)4 B(-50)4"
    samples = render(page, encode(perform(parse_block(block).score)))
    for place, key in enumerate((69, 72, 63.86, 70.5)):
        wanted = equal(key if place != 2 else 64 - 0.14, 442.0)
        start, end = (int((0.05 + place + at) * RATE) for at in (0.2, 0.95))
        assert abs(cents(frequency(samples[start:end], wanted), wanted)) <= 1


def test_a_slower_pace_stretches_time_and_leaves_the_pitch(page: Page) -> None:
    block = "time: 2/4\ntempo: 1/4 at 60\nnotes: 1/4 A4 rest"
    samples = render(page, encode(perform(parse_block(block).score)), 0.5)
    assert abs(cents(frequency(samples[RATE // 2 : 2 * RATE], 440), 440)) <= 1
    assert np.abs(samples[int(1.9 * RATE)]) + np.abs(samples[int(1.9 * RATE) + 20]) > 1e-4


@pytest.mark.parametrize(
    ("line", "milliseconds"),
    [
        ("drums: 1/4 kick snare@-1/48 kick snare@+1/64", [0, 625 - 52.083, 1250, 1875 + 39.063]),
        ("swing: 1/8 2:1\nnotes: 1/8 C5.staccato D5.staccato 3/4 rest", [0, 416.667]),
    ],
    ids=["shifts", "swing"],
)
def test_what_is_rendered_is_in_time_to_the_sample(
    page: Page, line: str, milliseconds: list[float]
) -> None:
    """At 96: 625 ms a quarter; a 48th of a whole note 52.083 ms, a 64th 39.063 ms."""
    score = parse_block(f"time: 4/4\ntempo: 1/4 at 96\n{line}").score
    found = onsets(render(page, encode(perform(score))))
    assert len(found) == len(milliseconds)
    for at, wanted in zip(found, milliseconds, strict=True):
        assert abs((at - found[0]) - wanted * RATE / 1000) <= 1.5


def test_sound_starts_quiet(page: Page) -> None:
    """Eight voices at their loudest stay below half of full."""
    heads = "&".join(f"{name}{octave}" for octave in (3, 4) for name in "CEGA")
    block = f"time: 4/4\nnotes: dynamic(fff) 1/1 {heads}"
    samples = render(page, encode(perform(parse_block(block).score)))
    assert 0.05 < float(np.max(np.abs(samples))) < 0.5


def test_nothing_sounds_unasked(page: Page) -> None:
    assert page.evaluate("opened") == 0
    assert page.locator(".sounding").count() == 0


def test_play_and_stop_by_keyboard_with_lights_in_step(page: Page) -> None:
    figure = page.locator("figure.music").first
    button = figure.get_by_role("button", name="Play")
    page.evaluate(WATCH)
    button.focus()
    page.keyboard.press("Enter")
    stop = figure.get_by_role("button", name="Stop")
    stop.wait_for()
    page.wait_for_function("lit.some(([, id]) => id === 'right-3')")
    lit = page.evaluate("lit")
    first = {name: at for at, name in reversed(lit)}
    right = [first[f"right-{number}"] for number in range(4)]
    assert right == sorted(right)
    # A quarter at 120 is half a second; a busy machine may be late with a frame or two.
    assert right[3] - right[0] == pytest.approx(1500, abs=150)
    assert {"left-0", "key 60", "key 62", "key 48"} <= set(first)
    page.keyboard.press("Space")
    button.wait_for()
    assert page.locator(".sounding").count() == 0


def test_a_figure_ends_by_itself_and_a_loop_goes_on(page: Page) -> None:
    figure = page.locator("figure.music").nth(1)
    figure.get_by_role("button", name="Play").click()
    figure.get_by_role("button", name="Stop").wait_for()
    figure.get_by_role("button", name="Play").wait_for(timeout=4000)
    loop = figure.get_by_role("button", name="Over and over")
    loop.press("Space")
    assert loop.get_attribute("aria-pressed") == "true"
    page.evaluate(WATCH)
    figure.get_by_role("button", name="Play").click()
    page.wait_for_function("lit.filter(([, id]) => id === 'drums-1').length >= 2", timeout=5000)
    page.keyboard.press("Escape")
    figure.get_by_role("button", name="Play").wait_for()


def test_one_thing_sounds_at_a_time_and_a_muted_voice_is_not_lit(page: Page) -> None:
    first, second = (page.locator("figure.music").nth(place) for place in (0, 1))
    first.get_by_role("checkbox", name="left hand").uncheck()
    page.evaluate(WATCH)
    first.get_by_role("button", name="Play").click()
    page.wait_for_function("lit.some(([, id]) => id === 'right-1')")
    assert "left-0" not in {name for _, name in page.evaluate("lit")}
    second.get_by_role("button", name="Play").click()
    first.get_by_role("button", name="Play").wait_for()
    page.get_by_role("button", name="D dorian").click()
    second.get_by_role("button", name="Play").wait_for()
    assert page.evaluate("opened") == 1


def test_a_claim_is_heard_by_keyboard_and_shows_its_notes(page: Page) -> None:
    claim = page.locator(".claim-chord")
    assert claim.get_attribute("role") == "button"
    claim.focus()
    page.keyboard.press("Enter")
    card = page.locator(".claim-card")
    assert card.inner_text() == "F4 A4 C5 E♭5"
    page.wait_for_selector(".claim-card .sounding")
    assert claim.get_attribute("aria-expanded") == "true"
    page.keyboard.press("Escape")
    assert card.count() == 0
    assert claim.get_attribute("aria-expanded") == "false"


def test_without_scripts_no_control_stands_idle(browser: Browser, host: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{host}heard/")
    assert page.locator("button:visible").count() == 0
    assert page.locator(".claim-chord").get_attribute("role") == "img"
    page.locator(".take-home summary").first.click()
    assert page.get_by_role("link", name="MIDI").first.is_visible()
    context.close()
