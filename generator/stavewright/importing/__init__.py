"""Brings music in: an excerpt of a MusicXML or MEI file as the text of a music block.

Two readers give one small neutral piece (`model`); `select` finds the bars, `writing` makes a block
of them, and the parser and the printer of `notation` have the last word on its form. What a block
cannot say is collected on the way and told.
"""

from stavewright.importing.errors import CannotImportError
from stavewright.importing.importer import Imported, excerpt_of, import_excerpt, read_piece

__all__ = ["CannotImportError", "Imported", "excerpt_of", "import_excerpt", "read_piece"]
