"""What a drawing is made of: parts with their shapes, pipes and labels, and the panes that it falls into."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from faultleaf.drawing.shapes import Box, Point, Shape, box_of, box_round
from faultleaf.layout import FontMetrics

TYPE = 13.5
"""Size of the labels' letters, in units: a pane of 400 units is 360 pixels wide on the narrowest phone."""
LEADING = 15.5
"""From one line of a label to the next."""
ASCENT, DESCENT = 0.76 * TYPE, 0.24 * TYPE
PAD = 2.0
"""Free room round a label."""
Anchor = Literal["start", "middle", "end"]
Inside = Literal["steam", "water", "empty"]


@dataclass(frozen=True)
class Pipe:
    """A run of pipe along its middle line: `width` outside, what is in it; `over`: it passes before other pipes.

    `open_at` says which of its ends (0 first, 1 last) lead out of the drawing, so that nothing need meet them.
    """

    points: tuple[Point, ...]
    width: float
    inside: Inside = "steam"
    over: bool = False
    open_at: tuple[int, ...] = ()

    @property
    def box(self) -> Box:
        """The room it takes."""
        return box_of(self.points).grown(self.width / 2)


@dataclass(frozen=True)
class Label:
    """Words beside a part. `y` is the first line's baseline; `leader` runs from the words to the part."""

    lines: tuple[str, ...]
    x: float
    y: float
    anchor: Anchor = "start"
    leader: tuple[Point, ...] = ()

    def box(self, metrics: FontMetrics, bold: bool = True) -> Box:
        """The room its words take; in bold, as they are set where their part is named."""
        face = metrics.bold if bold else metrics.regular
        width = max(face.width_em(line) for line in self.lines) * TYPE
        left = self.x - {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        height = ASCENT + DESCENT + LEADING * (len(self.lines) - 1)
        return Box(left - PAD, self.y - ASCENT - PAD, width + 2 * PAD, height + 2 * PAD)


@dataclass(frozen=True)
class Part:
    """One part of the drawing. `card` is the component's id ("" where no card can belong to it).

    `ground` shapes lie below everything and may bear other parts and their labels; `hot` is the place to look at,
    where the part is too large to be seen whole. `apart`: a second, schematic place of a part that is drawn elsewhere.
    """

    id: str
    name: str
    card: str = ""
    labels: tuple[Label, ...] = ()
    shapes: tuple[Shape, ...] = ()
    pipes: tuple[Pipe, ...] = ()
    ground: tuple[Shape, ...] = ()
    hot: Box | None = None
    apart: bool = False

    @property
    def box(self) -> Box:
        """Where it is looked for."""
        if self.hot:
            return self.hot
        return box_round([each.box for each in (*self.ground, *self.shapes, *self.pipes)])


@dataclass(frozen=True)
class Pane:
    """A rectangle of the drawing that is shown by itself on a phone; together they are the whole."""

    id: str
    title: str
    about: str
    box: Box


@dataclass(frozen=True)
class Scene:
    """The whole drawing."""

    width: float
    height: float
    parts: tuple[Part, ...]
    panes: tuple[Pane, ...]

    def of_card(self, card: str) -> tuple[Part, ...]:
        """The parts that show this component, in the drawing's order."""
        return tuple(part for part in self.parts if part.card == card)

    def pipes(self) -> Iterator[tuple[Part, Pipe]]:
        """Every pipe with its part."""
        return ((part, pipe) for part in self.parts for pipe in part.pipes)


@dataclass(frozen=True)
class Cutaway:
    """A part cut open, drawn by itself: `cards` are the components that it explains."""

    id: str
    title: str
    about: str
    cards: tuple[str, ...]
    width: float
    height: float
    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...]
