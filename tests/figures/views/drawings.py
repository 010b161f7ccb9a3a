"""Reads drawings back: their shapes, their texts, and where these stand."""

from xml.etree import ElementTree

from stavewright.figures.figure import Drawing
from stavewright.figures.views.canvas import text_width

SVG = "{http://www.w3.org/2000/svg}"


def shapes(drawing: Drawing, tag: str) -> list[dict[str, str]]:
    """The attributes of every element of a kind, in drawing order."""
    return [element.attrib for element in ElementTree.fromstring(drawing.markup).iter(SVG + tag)]


def texts(drawing: Drawing) -> list[tuple[str, float, float, float]]:
    """(words, left, right, baseline) of every text, by the same rough width the layout uses."""
    found = []
    for element in ElementTree.fromstring(drawing.markup).iter(SVG + "text"):
        words = element.text or ""
        width = text_width(words, float(element.attrib["font-size"]))
        x = float(element.attrib["x"])
        left = x - {"start": 0, "middle": width / 2, "end": width}[element.attrib["text-anchor"]]
        found.append((words, left, left + width, float(element.attrib["y"])))
    return found


def hits(drawing: Drawing) -> list[float]:
    """Where the marks of a rhythm grid's hits have their middles, from the left."""
    circles = [float(circle["cx"]) for circle in shapes(drawing, "circle") if "data-id" in circle]
    pointed = []
    for polygon in shapes(drawing, "polygon"):
        if "data-id" in polygon:
            across = [float(corner.split(",")[0]) for corner in polygon["points"].split()]
            pointed.append((min(across) + max(across)) / 2)
    return sorted(circles + pointed)
