"""Geometry that the stages hand on. Millimetres; x to the right, y down; text sits on its baseline."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from faultleaf.layout.chart import ChartBox

EDGE = 0.5  # mm kept free around the drawing, so that outlines at its edge keep their whole stroke
Point = tuple[float, float]
Shape = Literal["terminal", "process", "decision", "connector", "alert"]


@dataclass(frozen=True)
class Rect:
    """An upright rectangle: left upper corner, width, height."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        """x of the right edge."""
        return self.x + self.w

    @property
    def bottom(self) -> float:
        """y of the lower edge."""
        return self.y + self.h

    @property
    def middle(self) -> Point:
        """Its middle."""
        return self.x + self.w / 2, self.y + self.h / 2

    def grown(self, by: float) -> Rect:
        """The same rectangle with `by` more on every side."""
        return Rect(self.x - by, self.y - by, self.w + 2 * by, self.h + 2 * by)

    def moved(self, dx: float, dy: float) -> Rect:
        """The same rectangle elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    def overlaps(self, other: Rect) -> bool:
        """Whether the two share more than an edge."""
        aside = self.right <= other.x or other.right <= self.x
        return not (aside or self.bottom <= other.y or other.bottom <= self.y)

    def holds(self, other: Rect, slack: float = 1e-6) -> bool:
        """Whether `other` lies wholly inside, but for `slack`."""
        across = self.x - slack <= other.x and other.right <= self.right + slack
        return across and self.y - slack <= other.y and other.bottom <= self.bottom + slack


@dataclass(frozen=True)
class TextLine:
    """One line of text, or the part of it that has one weight: left end of its baseline, size and width in mm."""

    x: float
    y: float
    text: str
    size: float
    width: float
    bold: bool = False

    def moved(self, dx: float, dy: float) -> TextLine:
        """The same line elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    @property
    def rect(self) -> Rect:
        """The room its letters take, from the top of an l to the foot of a g."""
        return Rect(self.x, self.y - 0.77 * self.size, self.width, 1.01 * self.size)


@dataclass(frozen=True)
class PlacedSymbol:
    """A symbol with the text inside it."""

    shape: Shape
    rect: Rect
    texts: tuple[TextLine, ...] = ()

    def moved(self, dx: float, dy: float) -> PlacedSymbol:
        """The same symbol elsewhere."""
        return PlacedSymbol(self.shape, self.rect.moved(dx, dy), tuple(t.moved(dx, dy) for t in self.texts))


@dataclass(frozen=True)
class PlacedExit:
    """Exit `index` of a box: the branch up to its words, the words, and the line that goes on with an arrowhead.

    `end` is what the line leads to where that is no box beside it: the connector with the number of the
    box that follows, or the terminal of a call that is over; `beside` are words after a connector. An
    exit that leads straight down has no branch: its line is the stem of the box.
    """

    index: int
    target: str | None
    branch: tuple[Point, ...]
    label: tuple[TextLine, ...]
    line: tuple[Point, ...]
    end: PlacedSymbol | None = None
    beside: tuple[TextLine, ...] = ()

    def moved(self, dx: float, dy: float) -> PlacedExit:
        """The same exit elsewhere."""
        return replace(
            self,
            branch=moved_points(self.branch, dx, dy),
            label=tuple(t.moved(dx, dy) for t in self.label),
            line=moved_points(self.line, dx, dy),
            end=self.end.moved(dx, dy) if self.end else None,
            beside=tuple(t.moved(dx, dy) for t in self.beside),
        )


def moved_points(points: tuple[Point, ...], dx: float, dy: float) -> tuple[Point, ...]:
    """The same points elsewhere."""
    return tuple((x + dx, y + dy) for x, y in points)


@dataclass(frozen=True)
class PlacedBox:
    """A box of the chart at its place, with its exits.

    `outline` is the process or terminal, with all text of the box in the order of reading; `marks` stand
    inside it: the connector with the box's own number (what "go to 7" leads to), the hazard triangle,
    the decision, which hangs below the outline where nothing is asked. `stems` are the lines without an
    arrowhead from which the exits branch off.
    """

    box: ChartBox
    outline: PlacedSymbol
    marks: tuple[PlacedSymbol, ...]
    stems: tuple[tuple[Point, ...], ...]
    exits: tuple[PlacedExit, ...]


@dataclass(frozen=True)
class PlacedChart:
    """A chart, or one sheet of it, with everything at its place. Millimetres.

    `width` and `height` are the whole drawing's; the origin lies `EDGE` inside its left upper corner.
    `type_pt` is the size of ordinary text, the smallest in the drawing; `question_pt` that of
    questions. `columns` counts the columns, `cut_words` the words hyphenated for want of room,
    `connectors` the exits that end in one. Boxes stand in the order of reading; `elsewhere` are ids and
    numbers of those on other sheets.
    """

    title: str
    subtitle: str
    lang: str
    width: float
    height: float
    type_pt: float
    question_pt: float
    columns: int
    cut_words: int
    connectors: int
    boxes: tuple[PlacedBox, ...]
    elsewhere: tuple[tuple[str, int], ...] = ()
    sheet: int = 1
    sheets: int = 1
