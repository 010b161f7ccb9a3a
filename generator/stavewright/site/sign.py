"""The name of the file in a folder that we wrote; what it holds is told in `write.marker`.

It stands alone: whether a site is older than its content is asked before all else is loaded.
"""

from typing import Final

SIGN: Final = ".stavewright"
