"""The written site: built beside the old one, then put in its place by renaming.

What this package promises, whatever goes wrong: the old site stays whole until the new one is
whole; nothing that Stavewright did not write is ever deleted. The proof of "we wrote it" is the
file `.stavewright` inside the folder, which lists everything else the folder holds. Two kinds of
folders lie beside the output, both carrying that file; to delete them is no harm:

    .site.previous-…   the spare: most often the site before this one, kept to be the next
    .site.building-…   a site being built; if its build was killed, the next one removes it

A build that changes anything takes the spare, which bears the other name before it is touched. It
makes it equal to the site in place, by links to the files there; puts into it what is new, under
names that it made free before, so that no file is ever written which the site in place may share;
and swaps the two. So the disk is asked to do what changed, twice, and not what there is. Nothing is
recorded of the spare: it is compared with the site in place, name by name and inode by inode
(`spare.py`). Without one the new site is made in a new folder, of links to all that is kept. Where
the site before is no help, as there is none before the first, the spare is a second set of names
for the new site. A process killed between the two renames of a swap leaves both folders and no
site; the next build puts the old one back.

With a store, a file whose key is the one it had in the site now in place is neither made nor
written again. Where nothing at all has changed, nothing is touched. "Now in place" means that size,
inode and time of change are exactly those that were recorded when it was written; whether a time is
earlier or later than another is never asked. One walk at the beginning of a build (`standing.py`)
looks for all that, and for files of others; before the swap only the folders' own times are looked
at, which tell whether a name came or went since.

A live build holds a lock on the marker of the folder it builds in, so a second build leaves that
alone, and one on the old site's marker, so a second build waits before it decides what it can
keep. Disks that have no locks, no links, or one name for `A` and `a` get no spare.

Nothing here waits for the disk (fsync): one wait a file would take minutes for a large site, and a
process that is killed loses nothing without it. After a power cut files may be empty; they then no
longer have the recorded size, and the next build writes them again.
"""

from stavewright.site.write.files import LazyFile, OutputFile
from stavewright.site.write.folders import recover
from stavewright.site.write.marker import MARKER, is_ours, listed
from stavewright.site.write.safety import refuse_unsafe
from stavewright.site.write.standing import Standing, holding, look
from stavewright.site.write.write import WriteReport, write_site

__all__ = [
    "MARKER",
    "LazyFile",
    "OutputFile",
    "Standing",
    "WriteReport",
    "holding",
    "is_ours",
    "listed",
    "look",
    "recover",
    "refuse_unsafe",
    "write_site",
]
