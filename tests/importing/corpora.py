"""Two corpora of real music: what music21 ships as MusicXML, and MEI that another program wrote.

The first are the MusicXML files inside music21, from several collections and programs. No MEI
collection comes with an installed package; so the second is made: music21's files in MusicXML, in
Humdrum and in ABC, converted to MEI by verovio, whose converters know nothing of ours. Nothing is
kept in this folder. The converter dies of some files, so each has a process of its own.
"""

from __future__ import annotations

import subprocess
import sys
from functools import cache
from pathlib import Path

MUSICXML = ("mxl", "xml", "musicxml")
OTHERS = ("krn", "abc")
_SECONDS = 60
_CONVERT = """
import sys, zipfile, verovio
verovio.enableLog(verovio.LOG_OFF)
path, form = sys.argv[1:]
if path.endswith(".mxl"):
    with zipfile.ZipFile(path) as archive:
        name = next(n for n in archive.namelist() if not n.startswith("META-INF"))
        data = archive.read(name)
else:
    data = open(path, "rb").read()
text = data.decode("utf-16" if data[:2] in (b"\\xff\\xfe", b"\\xfe\\xff") else "utf-8", "replace")
kit = verovio.toolkit()
kit.setOptions({"inputFrom": form})
kit.loadData(text)
sys.stdout.buffer.write(kit.getMEI().encode())
"""


@cache
def paths(*suffixes: str) -> tuple[Path, ...]:
    """Files of music21's corpus with one of the suffixes, in order."""
    from music21 import corpus

    found = (Path(str(path)) for path in corpus.getPaths())
    return tuple(sorted(path for path in found if path.suffix[1:] in suffixes))


def name_of(path: Path) -> str:
    """A file's folder and name."""
    return f"{path.parent.name}/{path.name}"


def as_mei(path: Path) -> bytes | None:
    """The file converted to MEI by verovio; None where the converter dies or finds no music."""
    form = {"krn": "humdrum", "abc": "abc"}.get(path.suffix[1:], "xml")
    try:
        run = subprocess.run(
            [sys.executable, "-c", _CONVERT, str(path), form],
            capture_output=True,
            timeout=_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return None
    return run.stdout if run.returncode == 0 and b"<note" in run.stdout else None
