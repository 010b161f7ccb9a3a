"""The pool of engraving processes: order, faults, time limits, sameness."""

import subprocess
import sys
import threading
from collections.abc import Iterator

import pytest

from stavewright.figures.engraver import Pool
from stavewright.figures.figure import Drawing, EngravingFault, EngravingJob
from tests.figures.scores import HERE, mei_text, read

_FRAME = (
    '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.1"><meiHead><fileDesc>'
    "<titleStmt><title/></titleStmt><pubStmt/></fileDesc></meiHead><music><body><mdiv><score>"
    '<scoreDef><staffGrp><staffDef n="1" lines="5"><clef shape="G" line="2"/></staffDef>'
    '</staffGrp></scoreDef><section><measure n="1">{}</measure></section>'
    "</score></mdiv></body></music></mei>"
)
# A staff that no staffDef announces ends the engraver with a segmentation fault; two thousand
# nested groups keep it busy for minutes (both tried with verovio 6.4.1).
DEADLY = EngravingJob(
    _FRAME.format(
        '<staff n="1"><layer n="1"><note dur="4" pname="c" oct="5"/></layer></staff>'
        '<staff n="99"><layer n="1"><note dur="4" pname="c" oct="5"/></layer></staff>'
    ),
    None,
)
_DEPTH = 2000
ENDLESS = EngravingJob(
    _FRAME.format(
        '<staff n="1"><layer n="1">'
        + '<tuplet num="3" numbase="2">' * _DEPTH
        + '<note dur="4" pname="c" oct="5"/>'
        + "</tuplet>" * _DEPTH
        + "</layer></staff>"
    ),
    None,
)
MALFORMED = EngravingJob("<mei", None)


def _job(name: str, width: int | None = 760) -> EngravingJob:
    return EngravingJob(mei_text(read(HERE / "constructs" / f"{name}.music")), width)


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    with Pool(workers=2) as pool:
        yield pool


def test_results_come_in_the_order_asked(pool: Pool) -> None:
    names = ("cadence", "beams", "satb", "one-drum", "cadence")
    jobs = [_job(name) for name in names]
    results = pool.engrave(jobs)
    assert results == [pool.engrave([job])[0] for job in jobs]
    assert len({drawing.markup for drawing in results if isinstance(drawing, Drawing)}) == 4


def test_no_job_needs_no_process() -> None:
    with Pool(workers=2) as pool:
        assert pool.engrave([]) == []
        assert pool.processes == 0


def test_a_refused_text_does_not_show_the_figure_before_it() -> None:
    with Pool(workers=1) as one:
        good, bad, again = one.engrave([_job("cadence"), MALFORMED, _job("beams")])
    assert isinstance(good, Drawing)
    assert isinstance(bad, EngravingFault)
    assert isinstance(again, Drawing)


def test_a_job_that_kills_the_engraver_is_a_fault_and_the_rest_goes_on() -> None:
    with Pool(workers=1) as pool:
        before, dead, after = pool.engrave([_job("cadence"), DEADLY, _job("beams")])
    assert isinstance(before, Drawing)
    assert isinstance(dead, EngravingFault)
    assert "broke down" in dead.message
    assert isinstance(after, Drawing)


def test_a_job_without_end_is_stopped_and_the_rest_goes_on() -> None:
    with Pool(workers=2, seconds=3) as pool:
        endless, good = pool.engrave([ENDLESS, _job("cadence")])
    assert isinstance(endless, EngravingFault)
    assert "longer than 3 seconds" in endless.message
    assert isinstance(good, Drawing)


def test_a_closed_pool_leaves_no_process_and_can_be_used_again() -> None:
    pool = Pool(workers=2)
    pool.engrave([_job("cadence"), _job("beams")])
    assert pool.processes > 0
    pool.close()
    assert pool.processes == 0
    assert isinstance(pool.engrave([_job("cadence")])[0], Drawing)
    pool.close()


def test_several_threads_may_ask_at_once(pool: Pool) -> None:
    wanted = [_job("cadence"), _job("beams"), _job("satb")]
    expected = pool.engrave(wanted)
    results: list[list[Drawing | EngravingFault]] = []
    threads = [
        threading.Thread(target=lambda: results.append(pool.engrave(wanted))) for _ in range(3)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert results == [expected] * 3


def test_another_process_draws_the_same_bytes(pool: Pool) -> None:
    jobs = [_job("cadence"), _job("beams", 340), _job("drums")]
    once = pool.engrave(jobs)
    with Pool(workers=1) as other:
        assert other.engrave(list(reversed(jobs))) == list(reversed(once))


def test_a_program_without_a_main_guard_is_quiet() -> None:
    """Nothing of the program is run again in the workers, and nothing is printed."""
    program = (
        "from stavewright.figures.engraver import Pool\n"
        "from stavewright.figures.figure import EngravingJob\n"
        f"jobs = [EngravingJob({MALFORMED.mei!r}, None), EngravingJob({DEADLY.mei!r}, None)]\n"
        "print(len(Pool(workers=2).engrave(jobs)))\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, timeout=60)
    assert (done.returncode, done.stdout, done.stderr) == (0, b"2\n", b"")


def test_music_as_wide_as_it_gets_and_wrapped(pool: Pool) -> None:
    whole, wide, narrow = pool.engrave([_job("wide", None), _job("wide"), _job("wide", 340)])
    assert isinstance(whole, Drawing)
    assert isinstance(wide, Drawing)
    assert isinstance(narrow, Drawing)
    assert whole.width > 760 >= wide.width > 340 >= narrow.width
    assert whole.height < wide.height < narrow.height
