"""The written site: built beside the old one, then put in its place by renaming.

What this package promises, whatever goes wrong: the old site stays whole until the new one is
whole; nothing that Stavewright did not write is ever deleted. The proof of "we wrote it" is the
file `.stavewright` inside the folder, which lists everything else the folder holds. Two folders may
be left beside the output by a process that was killed, both carrying that file:

    .site.building-…   a build that never finished; removed by the next one
    .site.previous-…   the old site, killed between two renames; put back by the next build

A live build holds a lock on its marker, so a second build leaves the first one's folder alone, and
one on the old site's marker, so a second build waits before it decides what it can keep.

With a store, a file whose key is the one it had in the site now in place is neither made nor
written again: the new folder gets another link to it. Where nothing at all has changed, nothing is
touched. "Now in place" means that size, inode and time of change are exactly those that were
recorded when it was written; whether a time is earlier or later than another is never asked.

Nothing here waits for the disk (fsync): one wait a file would take minutes for a large site, and a
process that is killed loses nothing without it. After a power cut files may be empty; they then no
longer have the recorded size, and the next build writes them again.
"""

from stavewright.site.write.files import LazyFile, OutputFile
from stavewright.site.write.folders import recover
from stavewright.site.write.marker import MARKER, is_ours, listed
from stavewright.site.write.safety import refuse_unsafe
from stavewright.site.write.standing import holding, standing
from stavewright.site.write.write import WriteReport, write_site

__all__ = [
    "MARKER",
    "LazyFile",
    "OutputFile",
    "WriteReport",
    "holding",
    "is_ours",
    "listed",
    "recover",
    "refuse_unsafe",
    "standing",
    "write_site",
]
