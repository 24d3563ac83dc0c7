"""The few shapes that everything is drawn with, and the room they take. Sizes are the drawing's own units."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot
from typing import Literal

from faultleaf.layout import shapes as flat

Point = flat.Point
Box = flat.Rect
"""The room that a shape takes: the rectangle that charts are laid out with."""
Look = Literal["body", "face", "line", "fine", "dash", "solid", "water", "mud", "cut", "steam", "level"]
"""How a shape is drawn: `body` outlined and filled with paper, `face` the same but faint, `line`, `fine` and `dash`
without filling, `solid` filled with ink, `water`, `mud`, `steam` a tint without outline, `cut` metal that was cut
through, `level` the fine line of a water's surface."""


@dataclass(frozen=True)
class Poly:
    """Straight lines from point to point, with corners rounded by `corner`."""

    points: tuple[Point, ...]
    look: Look = "line"
    closed: bool = False
    corner: float = 0.0

    @property
    def box(self) -> Box:
        """The room it takes."""
        return box_of(self.points)


@dataclass(frozen=True)
class Circle:
    """A circle; with `ry` an ellipse that is so high."""

    x: float
    y: float
    r: float
    look: Look = "body"
    ry: float = 0.0

    @property
    def box(self) -> Box:
        """The room it takes."""
        high = self.ry or self.r
        return Box(self.x - self.r, self.y - high, 2 * self.r, 2 * high)


@dataclass(frozen=True)
class Rect:
    """A rectangle with rounded corners."""

    x: float
    y: float
    w: float
    h: float
    look: Look = "body"
    corner: float = 0.0

    @property
    def box(self) -> Box:
        """The room it takes."""
        return Box(self.x, self.y, self.w, self.h)


Shape = Poly | Circle | Rect


def box_of(points: Iterable[Point]) -> Box:
    """The smallest box round these points."""
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def box_round(boxes: Iterable[Box]) -> Box:
    """The smallest box round these boxes."""
    return box_of([corner for box in boxes for corner in ((box.x, box.y), (box.right, box.bottom))])


def distance(point: Point, start: Point, end: Point) -> float:
    """From a point to the straight line between two others.

    >>> distance((1, 2), (0, 0), (4, 0))
    2.0
    """
    (x, y), (x1, y1), (x2, y2) = point, start, end
    long = (x2 - x1) ** 2 + (y2 - y1) ** 2
    along = max(0.0, min(1.0, ((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / long)) if long else 0.0
    return hypot(x - x1 - along * (x2 - x1), y - y1 - along * (y2 - y1))
