"""Scores written as MEI 5.1, the engraver's language."""

from stavewright.figures.mei.document import document
from stavewright.figures.mei.ids import event_id, head_id
from stavewright.figures.mei.limits import fault_in

__all__ = ["document", "event_id", "fault_in", "head_id"]
