"""Geometry that the stages hand on. Millimetres; x to the right, y down; text sits on its baseline."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from faultleaf.layout.chart import ChartBox, Symbol

EDGE = 0.5  # mm kept free around the drawing, so that outlines at its edge keep their whole stroke
Point = tuple[float, float]
Shape = Symbol | Literal["annotation", "alert"]


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
    """One line of text: left end of its baseline, size and width in mm."""

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
    """A symbol with the text inside it. For a long text `annotation` is the bracket of ISO 5807."""

    shape: Shape
    rect: Rect
    texts: tuple[TextLine, ...] = ()

    def moved(self, dx: float, dy: float) -> PlacedSymbol:
        """The same symbol elsewhere."""
        return PlacedSymbol(self.shape, self.rect.moved(dx, dy), tuple(t.moved(dx, dy) for t in self.texts))


@dataclass(frozen=True)
class UnitExit:
    """One exit of a unit: the line up to its words, the words, and where the rest of the line begins.

    `end` is the terminal of a call that is cured and proved; `straight` says that the rest of the
    line goes down to the box below.
    """

    index: int
    lead: tuple[Point, ...]
    label: tuple[TextLine, ...]
    run: Point
    straight: bool = False
    end: PlacedSymbol | None = None

    def moved(self, dx: float, dy: float) -> UnitExit:
        """The same exit elsewhere."""
        return UnitExit(
            self.index,
            tuple((x + dx, y + dy) for x, y in self.lead),
            tuple(t.moved(dx, dy) for t in self.label),
            (self.run[0] + dx, self.run[1] + dy),
            self.straight,
            self.end.moved(dx, dy) if self.end else None,
        )


@dataclass(frozen=True)
class Unit:
    """One box of the chart with its symbols and the rows of its exits, as one block.

    Lines come in from above at `stem_x`, from the left at `entry_y`, and from the right at
    `entry_y` where `right_entry` says so.
    """

    box: ChartBox
    area: Rect
    symbols: tuple[PlacedSymbol, ...]
    exits: tuple[UnitExit, ...]
    stem_x: float
    entry_y: float
    right_entry: bool
    cut_words: int

    def moved(self, dx: float, dy: float) -> Unit:
        """The same unit elsewhere."""
        return replace(
            self,
            area=self.area.moved(dx, dy),
            symbols=tuple(s.moved(dx, dy) for s in self.symbols),
            exits=tuple(e.moved(dx, dy) for e in self.exits),
            stem_x=self.stem_x + dx,
            entry_y=self.entry_y + dy,
        )


@dataclass(frozen=True)
class Line:
    """A line of the flow with an arrowhead at its last point.

    It belongs to exit `index` of box `source`; the way in from a connector has no source.
    """

    source: str | None
    index: int
    target: str | None
    points: tuple[Point, ...]


@dataclass(frozen=True)
class Connector:
    """One half of a connector pair: the circle and the box that its number means."""

    symbol: PlacedSymbol
    target: str
    incoming: bool


@dataclass(frozen=True)
class PlacedChart:
    """A chart with everything at its place, ready to be drawn. Millimetres.

    `width` and `height` are the whole drawing's; the origin lies `EDGE` inside its left upper corner.
    `type_pt` is the size of ordinary text; questions are 14/12 of it. `how_shown` is False when the
    methods had to be left out to keep the type legible: whoever prints the chart must then print
    them beside it. `columns` counts the columns, `cut_words` the words hyphenated for want of room.
    """

    title: str
    subtitle: str
    lang: str
    width: float
    height: float
    type_pt: float
    how_shown: bool
    columns: int
    cut_words: int
    units: tuple[Unit, ...]
    lines: tuple[Line, ...]
    connectors: tuple[Connector, ...]
