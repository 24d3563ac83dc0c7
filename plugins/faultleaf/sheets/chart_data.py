"""The placed chart as plain data for the template: figures and lines of text, millimetres."""

from __future__ import annotations

from typing import Any

from faultleaf.layout import Circle, DrawnBox, Figure, PlacedChart, RoundRect, TextLine, drawing
from faultleaf.layout.shapes import EDGE


def chart_data(placed: PlacedChart) -> dict[str, Any]:
    """Every box in the order of reading, with its exits; the origin is the left upper corner of the drawing."""
    boxes = [_box(box) for box in drawing(placed)]
    return {"width": placed.width, "height": placed.height, "boxes": boxes}


def _box(box: DrawnBox) -> dict[str, Any]:
    figures = [*box.figures, *(one for way in box.exits for one in (*way.figures, *way.end_figures))]
    texts = [*box.texts, *(one for way in box.exits for one in (*way.texts, *way.end_texts))]
    return {"figures": [_figure(one) for one in figures], "texts": [_text(one) for one in texts]}


def _figure(figure: Figure) -> dict[str, Any]:
    if isinstance(figure, Circle):
        place = {"x": _mm(figure.x), "y": _mm(figure.y), "r": round(figure.radius, 3)}
        return {"kind": "circle", **place, "width": figure.width}
    if isinstance(figure, RoundRect):
        r = figure.rect
        place = {"x": _mm(r.x), "y": _mm(r.y), "w": round(r.w, 3), "h": round(r.h, 3), "r": round(figure.radius, 3)}
        return {"kind": "rect", **place, "width": figure.width}
    points = [[_mm(x), _mm(y)] for x, y in figure.points]
    return {"kind": "line", "points": points, "width": figure.width, "closed": figure.closed or not figure.width}


def _text(line: TextLine) -> dict[str, Any]:
    size = round(line.size, 4)
    return {"x": _mm(line.x), "y": _mm(line.y), "text": line.text, "size": size, "width": line.width, "bold": line.bold}


def _mm(value: float) -> float:
    return round(value + EDGE, 3)
