"""The placed chart as plain data for the template: figures and lines of text, millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from faultleaf.layout import Circle, DrawnBox, Figure, PlacedChart, RoundRect, TextLine, drawing
from faultleaf.layout.shapes import EDGE


def chart_data(placed: PlacedChart, larger: float = 1.0) -> dict[str, Any]:
    """Every box in the order of reading, with its exits, drawn `larger`; the origin is the left upper corner."""
    pen = _Pen(larger)
    boxes = [pen.box(box) for box in drawing(placed)]
    return {"width": placed.width * larger, "height": placed.height * larger, "boxes": boxes}


@dataclass(frozen=True)
class _Pen:
    """Draws so many times larger."""

    larger: float

    def box(self, box: DrawnBox) -> dict[str, Any]:
        figures = [*box.figures, *(one for way in box.exits for one in (*way.figures, *way.end_figures))]
        texts = [*box.texts, *(one for way in box.exits for one in (*way.texts, *way.end_texts))]
        return {"figures": [self.figure(one) for one in figures], "texts": [self.text(one) for one in texts]}

    def figure(self, figure: Figure) -> dict[str, Any]:
        if isinstance(figure, Circle):
            place = {"x": self.at(figure.x), "y": self.at(figure.y), "r": self.mm(figure.radius)}
            return {"kind": "circle", **place, "width": figure.width}
        if isinstance(figure, RoundRect):
            r = figure.rect
            place = {"x": self.at(r.x), "y": self.at(r.y), "w": self.mm(r.w), "h": self.mm(r.h)}
            return {"kind": "rect", **place, "r": self.mm(figure.radius), "width": figure.width}
        points = [[self.at(x), self.at(y)] for x, y in figure.points]
        return {"kind": "line", "points": points, "width": figure.width, "closed": figure.closed or not figure.width}

    def text(self, line: TextLine) -> dict[str, Any]:
        place = {"x": self.at(line.x), "y": self.at(line.y), "width": self.mm(line.width)}
        return {**place, "text": line.text, "size": round(line.size * self.larger, 4), "bold": line.bold}

    def at(self, value: float) -> float:
        return self.mm(value + EDGE)

    def mm(self, value: float) -> float:
        return round(value * self.larger, 3)
