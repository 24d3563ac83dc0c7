"""The placed chart as plain figures and lines of text, for whoever draws it: the SVG writer, the PDF writer.

Millimetres; x to the right, y down. Everything is black: a figure is stroked, or filled where it says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

from faultleaf.layout.chart import ChartBox
from faultleaf.layout.metrics import MM_PER_PT
from faultleaf.layout.shapes import PlacedBox, PlacedChart, PlacedExit, PlacedSymbol, Point, Rect, TextLine
from faultleaf.layout.style import end_radius

OUTLINE_MM = 0.5
LINE_MM = 0.4


@dataclass(frozen=True)
class Polyline:
    """Straight lines from point to point, round at the corners; `width` of the stroke, 0 for a filled figure."""

    points: tuple[Point, ...]
    width: float
    closed: bool = False


@dataclass(frozen=True)
class Circle:
    """A circle."""

    x: float
    y: float
    radius: float
    width: float


@dataclass(frozen=True)
class RoundRect:
    """A rectangle with round corners."""

    rect: Rect
    radius: float
    width: float


Figure = Polyline | Circle | RoundRect


@dataclass(frozen=True)
class DrawnExit:
    """An exit: lines and words, the number of the box that its connector leads to (0 without one), the connector.

    The end is apart, so that it can be a link.
    """

    figures: tuple[Figure, ...]
    texts: tuple[TextLine, ...]
    number: int
    end_figures: tuple[Figure, ...]
    end_texts: tuple[TextLine, ...]


@dataclass(frozen=True)
class DrawnBox:
    """A box with everything inside its outline, then its exits; texts in the order in which they are read."""

    box: ChartBox
    figures: tuple[Figure, ...]
    texts: tuple[TextLine, ...]
    exits: tuple[DrawnExit, ...]


def drawing(placed: PlacedChart) -> tuple[DrawnBox, ...]:
    """All boxes in the order of reading."""
    size = placed.type_pt * MM_PER_PT
    numbers = {one.box.id: one.box.number for one in placed.boxes} | dict(placed.elsewhere)
    return tuple(_box(one, size, numbers) for one in placed.boxes)


def _box(placed: PlacedBox, size: float, numbers: dict[str, int]) -> DrawnBox:
    marks = [figure for mark in placed.marks for figure in _symbol(mark, size)]
    texts = [text for mark in placed.marks for text in mark.texts if mark.shape == "connector"]
    stems = [Polyline(stem, LINE_MM) for stem in placed.stems]
    exits = tuple(_exit(way, size, numbers) for way in placed.exits)
    # The question mark in the diamond is a picture of the question beside it: it comes last.
    signs = [text for mark in placed.marks for text in mark.texts if mark.shape != "connector"]
    figures = (*_symbol(placed.outline, size), *marks, *stems)
    return DrawnBox(placed.box, figures, (*texts, *placed.outline.texts, *signs), exits)


def _exit(way: PlacedExit, size: float, numbers: dict[str, int]) -> DrawnExit:
    branch = (Polyline(way.branch, LINE_MM),) if way.branch else ()
    end = tuple(_symbol(way.end, size)) if way.end else ()
    number = numbers[way.target] if way.target and way.end else 0
    texts = (*(way.end.texts if way.end else ()), *way.beside)
    return DrawnExit((*branch, *_arrow(way.line, size)), way.label, number, end, texts)


def _symbol(symbol: PlacedSymbol, size: float) -> Iterator[Figure]:
    """The outline of ISO 5807 for this symbol; the alert is the triangle of ANSI Z535.6."""
    r = symbol.rect
    x, y = r.x + r.w / 2, r.y + r.h / 2
    if symbol.shape == "decision":
        yield Polyline(((x, r.y), (r.right, y), (x, r.bottom), (r.x, y)), OUTLINE_MM, closed=True)
    elif symbol.shape == "connector":
        yield Circle(x, y, r.w / 2, OUTLINE_MM)
    elif symbol.shape == "alert":
        yield Polyline(((x, r.y), (r.right, r.bottom), (r.x, r.bottom)), LINE_MM, closed=True)
        yield Polyline(((x, r.y + 0.36 * r.h), (x, r.y + 0.66 * r.h)), LINE_MM)
        yield Polyline(((x, r.y + 0.78 * r.h), (x, r.y + 0.88 * r.h)), LINE_MM)
    else:
        yield RoundRect(r, end_radius(r.h, size) if symbol.shape == "terminal" else 0.0, OUTLINE_MM)


def _arrow(points: tuple[Point, ...], size: float) -> Iterator[Figure]:
    """The line, and its arrowhead whose tip is the last point."""
    (x0, y0), (x, y) = points[-2:]
    length = hypot(x - x0, y - y0) or 1.0
    ux, uy = (x - x0) / length, (y - y0) / length
    back, half = min(0.62 * size, length), 0.26 * size
    base = (x - back * ux, y - back * uy)
    yield Polyline((*points[:-1], base), LINE_MM)
    yield Polyline(
        ((x, y), (base[0] - half * uy, base[1] + half * ux), (base[0] + half * uy, base[1] - half * ux)), 0.0
    )
