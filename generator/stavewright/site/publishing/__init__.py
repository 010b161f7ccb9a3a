"""Publishing: a build without errors, put where readers find it.

    a folder           replaced whole or not at all
    a git branch       one commit, made beside the working tree and the index, never in them
    rsync              what is new goes out, what an earlier publication left there goes away

A site is built and then taken just as it stands, held so that no other build replaces it meanwhile.
What Stavewright did not put in a place is never written over or deleted there, and each place has
its own proof of what that is: the marker in a folder, the words of a commit.
"""

from stavewright.site.publishing.changes import Changes
from stavewright.site.publishing.programs import printable
from stavewright.site.publishing.publish import Publication, Wish, publish_site

__all__ = ["Changes", "Publication", "Wish", "printable", "publish_site"]
