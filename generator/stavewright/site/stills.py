"""Pictures, clips and sound of an article's figures, as files for a video."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Final

from stavewright.articles.check import find_in
from stavewright.figures import shown_views
from stavewright.figures.figure import Drawing, Engraver, EngravingFault
from stavewright.figures.sound import perform
from stavewright.figures.sound.synthesis import RATE
from stavewright.figures.sound.wav import wav_file
from stavewright.figures.stills import (
    Frame,
    Look,
    Step,
    candidates,
    lights_in,
    png,
    steps,
    still,
)
from stavewright.figures.stills.clip import PROGRAM, Clip, ClipError, has_ffmpeg, write_clip
from stavewright.figures.stills.timetable import step_number, timetable
from stavewright.notation import Block
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score
from stavewright.site.errors import CannotRunError
from stavewright.site.one_article import OneArticle, find_article
from stavewright.site.progress import Progress, Silent

_WAV_HEADER: Final = 44
_SAMPLE_BYTES: Final = 3


@dataclass(frozen=True, slots=True)
class Order:
    """What is wanted of an article's figures."""

    frame: Frame
    look: Look = field(default_factory=Look)
    figure: int | None = None
    """From 1; None for all."""
    steps: bool = False
    """A picture for each event, and their times."""
    clip: bool = False
    sound: bool = False
    rate: int = 30
    """Frames a second of clips."""


@dataclass(frozen=True, slots=True)
class Made:
    """What came of it."""

    files: tuple[Path, ...]
    """In the order they were made."""
    findings: tuple[Finding, ...]
    """Errors in figures, which were left out for them."""
    problems: tuple[str, ...]
    """Other things that were asked for and could not be made, each in a sentence."""
    texts: dict[str, str]
    """The author's texts by the name that findings give their file."""


def make_stills(
    article: Path,
    content: Path,
    order: Order,
    output: Path,
    engraver: Engraver,
    progress: Progress | None = None,
) -> Made:
    """Write everything that is wanted of an article's figures into the folder `output`.

    A figure with an error in it is left out: a wrong label in a video stays there for ever. Raises
    `CannotRunError` if there is no such article or figure, and `OSError`.
    """
    found = find_article(article, content)
    wanted = _wanted(found, order.figure)
    progress = progress or Silent()
    progress.stage("stills", len(wanted))
    output.mkdir(parents=True, exist_ok=True)
    desk = _Desk(output, order, engraver)
    if order.clip and not has_ffmpeg():
        desk.problems.append(
            f"no clip was made: clips are made by {PROGRAM}, which is not installed "
            "(or not on the search path); pictures, times and sound are complete without it"
        )
    for number, block, errors in wanted:
        if errors:
            desk.findings += errors
        else:
            desk.make(f"{_slug(found.address)}-figure-{number}", block.score, number)
        progress.advance()
    desk.credits(_slug(found.address), _credits(found, [n for n, _, bad in wanted if not bad]))
    texts = found.project.content.texts
    return Made(tuple(desk.files), tuple(desk.findings), tuple(desk.problems), texts)


def _wanted(found: OneArticle, figure: int | None) -> list[tuple[int, Block, tuple[Finding, ...]]]:
    """Number, block and errors of each figure that is asked for."""
    blocks = found.article.blocks
    if not blocks:
        raise CannotRunError(f"{found.article.path} has no figure: it holds no music block")
    if figure is not None and not 1 <= figure <= len(blocks):
        has = "one figure" if len(blocks) == 1 else f"{len(blocks)} figures"
        raise CannotRunError(f"{found.article.path} has {has}, and no figure {figure}")
    checked = find_in(found.article).blocks
    return [
        (number, block, tuple(it for it in findings if it.severity is Severity.ERROR))
        for number, (block, findings) in enumerate(zip(blocks, checked, strict=True), start=1)
        if figure in (None, number)
    ]


def _slug(address: str) -> str:
    return address.strip("/").rsplit("/", 1)[-1].removesuffix(".html") or "home"


def _credits(found: OneArticle, numbers: Sequence[int]) -> str:
    """Whose music is shown, for the video's credits; empty where nobody is named."""
    front = found.article.front
    lines = [*front.credits, *([front.rights] if front.rights else [])]
    for number in numbers:
        score = found.article.blocks[number - 1].score
        rights = [score.rights] if score.rights else []
        named = [*score.credits, *score.sources, *rights]
        lines += [f"Figure {number}: {line}" for line in named]
    if not lines:
        return ""
    caution = (
        "Show these where the video names its sources. How much of other people's music may be "
        "quoted depends on local law; this list is no legal advice."
    )
    return "\n".join([*lines, "", caution, ""])


@dataclass(slots=True)
class _Desk:
    """Where files are made, one after another."""

    output: Path
    order: Order
    engraver: Engraver
    files: list[Path] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)

    def make(self, stem: str, score: Score, number: int) -> None:
        """Everything of one figure; the names of its files begin with `stem`."""
        order = self.order
        performance = perform(score)
        wants_time = order.steps or order.clip or order.sound
        if wants_time and not performance.notes:
            self.problems.append(f"figure {number} has nothing that sounds, so it has no steps")
        row = steps(performance) if wants_time and performance.notes else ()
        sound = wav_file(performance) if row and (order.sound or order.clip) else b""
        if order.sound and sound:
            self._write(f"{stem}.wav", sound)
        if order.steps and row:
            self._write(f"{stem}-steps.txt", timetable(row).encode())
        for name, view in _named(shown_views(score)):
            found = candidates(score, view, self.engraver)
            if isinstance(found, EngravingFault):
                self.problems.append(
                    f"figure {number} has no picture of its {name}: {found.message}"
                )
                continue
            drawing = order.frame.best(found.drawings)
            self._view(f"{stem}-{name}", drawing, row, sound)

    def credits(self, slug: str, text: str) -> None:
        """The list of whose music is shown, if there is any to name."""
        if text:
            self._write(f"{slug}-credits.txt", text.encode())

    def _view(self, stem: str, drawing: Drawing, row: Sequence[Step], sound: bytes) -> None:
        order = self.order
        plain = still(drawing, order.frame, order.look, with_fonts=True)
        picture = _pictures(drawing, order)
        self._write(f"{stem}.svg", plain.encode())
        self._write(f"{stem}.png", picture(frozenset()))
        lights = lights_in(drawing)
        if not any(step.lit & lights for step in row):
            return
        if order.steps:
            self._steps(stem, row, picture)
        if order.clip and has_ffmpeg():
            samples = (len(sound) - _WAV_HEADER) // _SAMPLE_BYTES
            shown = Clip(
                row, lambda step: picture(step.lit), sound, Fraction(samples, RATE), order.rate
            )
            self._clip(stem, shown)

    def _steps(
        self, stem: str, row: Sequence[Step], picture: Callable[[frozenset[str]], bytes]
    ) -> None:
        names = [f"{stem}-step-{step_number(at, len(row))}.png" for at in range(len(row))]
        for old in _old_steps(self.output, stem):
            if old.name not in names:
                old.unlink()
        for name, step in zip(names, row, strict=True):
            self._write(name, picture(step.lit))

    def _clip(self, stem: str, clip: Clip) -> None:
        path = self.output / f"{stem}.mov"
        try:
            write_clip(clip, path)
        except ClipError as error:
            self.problems.append(str(error))
        else:
            self.files.append(path)

    def _write(self, name: str, data: bytes) -> None:
        path = self.output / name
        path.write_bytes(data)
        self.files.append(path)


def _named(views: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Each view with its name in files; a view that is shown twice is numbered."""
    for place, view in enumerate(views):
        before = views[:place].count(view)
        yield (f"{view}-{before + 1}" if before else view), view


def _pictures(drawing: Drawing, order: Order) -> Callable[[frozenset[str]], bytes]:
    """The picture with these things lit, as PNG; the same picture is drawn once."""
    lights = lights_in(drawing)
    drawn: dict[frozenset[str], bytes] = {}

    def picture(lit: frozenset[str]) -> bytes:
        shown = lit & lights
        if shown not in drawn:
            drawn[shown] = png(still(drawing, order.frame, order.look, shown))
        return drawn[shown]

    return picture


def _old_steps(folder: Path, stem: str) -> list[Path]:
    """The steps that an earlier run left: more than there are now would be taken for new ones."""
    step = re.compile(rf"{re.escape(stem)}-step-\d+\.png")
    return [path for path in folder.iterdir() if step.fullmatch(path.name)]
