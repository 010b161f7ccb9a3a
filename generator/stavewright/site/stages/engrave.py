"""The fourth stage: scores become figures.

All that the engraver has to draw goes to it in one call, so that its processes share the work and
equal figures are drawn once; the figures are then put together from what came back.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from stavewright.figures import draw, staff_jobs
from stavewright.figures.figure import Drawing, Engraver, EngravingFault, EngravingJob, Figure
from stavewright.notation import Block
from stavewright.notation.finding import Finding, Severity, in_order
from stavewright.site.stages.values import BlockKey, SiteChecked, SiteEngraved, Tools

EngravingError = EngravingFault


@dataclass(frozen=True, slots=True)
class _Drawn:
    """An engraver that has drawn everything already."""

    results: Mapping[EngravingJob, Drawing | EngravingFault]
    engraver: Engraver
    """For what nobody foresaw."""

    def engrave(self, jobs: Sequence[EngravingJob]) -> list[Drawing | EngravingFault]:
        if all(job in self.results for job in jobs):
            return [self.results[job] for job in jobs]
        return self.engraver.engrave(jobs)
