"""Pictures of figures for a video: the same drawings, sized to a frame, with notes that light up.

`still` fits one view of a figure into a frame and gives it as SVG; `png` turns that into pixels.
`steps` tells when which notes are lit, from what the page's player is told; `still` with a step's
`lit` draws it. Everything is set in the faces of `figures.fonts`, so the bytes are the same on
every machine with the same packages.
"""

from stavewright.figures.stills.compose import Look, still
from stavewright.figures.stills.frame import Frame
from stavewright.figures.stills.raster import png
from stavewright.figures.stills.steps import Step, steps
from stavewright.figures.stills.views import Candidates, candidates, lights_in

__all__ = [
    "Candidates",
    "Frame",
    "Look",
    "Step",
    "candidates",
    "lights_in",
    "png",
    "steps",
    "still",
]
