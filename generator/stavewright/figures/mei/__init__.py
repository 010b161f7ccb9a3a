"""Scores written as MEI 5.1, the engraver's language."""

from stavewright.figures.mei.document import Documents, document, documents
from stavewright.figures.mei.ids import event_id, head_id
from stavewright.figures.mei.limits import fault_in
from stavewright.figures.mei.sheet import Sheet

__all__ = ["Documents", "Sheet", "document", "documents", "event_id", "fault_in", "head_id"]
