"""Boxes one below the other in a column, ends aside of the path they leave, and the columns side by side.

| 2 ...               |     a box on the path
+-+-------------------+
  |- it falls -> (9)        an exit to a box elsewhere
  |  it climbs              an end aside, its words above it
  |-> +---------------+
  |   | 3 ...         |
  |   +---------------+
  |  it stays               the exit straight down
  v
| 4 ...               |
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from faultleaf.layout.exits import Body, Goals, set_body, set_label
from faultleaf.layout.order import Place
from faultleaf.layout.shapes import PlacedBox, PlacedExit, Point, moved_points
from faultleaf.layout.style import Block, Style

LEAST_BESIDE = 9
"""Sizes of type that a box must have to stand beside the words that lead to it."""


@dataclass(frozen=True)
class Item:
    """A box at its place in a column, and the words of the exit that leads to it: above it, or on its first line."""

    index: int
    x: float
    top: float
    body: Body
    label: tuple[tuple[float, Block], ...] = ()
    beside: bool = False


@dataclass(frozen=True)
class Stack:
    """Boxes in the order of reading, to be put into columns in one style.

    What has been set once is remembered: the same box is asked for in many columns.
    """

    style: Style
    goals: Goals
    places: Sequence[Place]
    _bodies: dict[tuple[int, float, tuple[int, ...], int | None], Body] = field(default_factory=dict)
    _labels: dict[tuple[int, float, int, float], Block] = field(default_factory=dict)
    _children: dict[int, list[int]] = field(default_factory=dict)
    _sizes: dict[tuple[int, int, float], tuple[float, int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Find what hangs on each box."""
        for i, place in enumerate(self.places):
            if place.parent is not None:
                self._children.setdefault(place.parent, []).append(i)

    def column(self, start: int, end: int, width: float) -> Iterator[Item]:
        """The boxes from `start` up to `end`, from the top of a column of that width."""
        widths: dict[int, float] = {}
        y = 0.0
        for i in range(start, end):
            place = self.places[i]
            parent = place.parent if place.parent is not None and place.parent >= start else None
            widths[i] = width if parent is None else widths[parent]
            if place.side and parent is not None:
                item = self._aside(i, parent, end, widths[parent], y)
                widths[i] = widths[parent] - item.x
                yield replace(item, x=width - widths[i])
                y = item.top + item.body.height
                continue
            body = self._body(i, end, widths[i])
            label: tuple[tuple[float, Block], ...] = ()
            if parent is not None:
                y, label = self._lead(place, parent, widths[parent], y, end)
            elif i > start:
                y += self.style.apart
            yield Item(i, width - widths[i], y, body, label)
            y += body.height

    def _aside(self, index: int, parent: int, end: int, width: float, y: float) -> Item:
        """The box aside of its parent, which is so wide: its words on its first line where that is lower.

        `x` of the answer counts from the parent's left edge.
        """
        style, place = self.style, self.places[index]
        top, label = self._lead(place, parent, width, y, end)
        above = Item(index, style.aside, top, self._body(index, end, width - style.aside), label)
        if not label:
            return above
        words = label[0][1]
        x = words.end_x + 2 * style.gap + style.arrow
        if words.count > 1 or width - x < LEAST_BESIDE * style.body:
            return above
        body = self._body(index, end, width - x)
        top = y + 0.22 * style.body
        if body.cut_words > above.body.cut_words or top + body.height > above.top + above.body.height + 1e-9:
            return above
        return Item(index, x, top, body, ((self._first_line(top) - style.lead / 2, words),), beside=True)

    def _first_line(self, top: float) -> float:
        """The middle of the first line of a box at this height."""
        return top + self.style.pad_y + self.style.circle / 2

    def size(self, start: int, end: int, width: float) -> tuple[float, int]:
        """Height of that column and how many words are cut in it."""
        key = (start, end, width)
        if key not in self._sizes:
            items = list(self.column(start, end, width))
            cuts = sum(item.body.cut_words + sum(block.cut_words for _, block in item.label) for item in items)
            self._sizes[key] = (items[-1].top + items[-1].body.height, cuts)
        return self._sizes[key]

    def cuts(self, start: int, end: int) -> int:
        """How many boxes of this column are torn from what they hang on."""
        return sum(1 for place in self.places[start:end] if place.parent is not None and place.parent < start)

    def _lead(
        self, place: Place, parent: int, width: float, y: float, end: int
    ) -> tuple[float, tuple[tuple[float, Block], ...]]:
        """The top of the box at this place, below `y`, and the words of the exit that leads to it."""
        style = self.style
        if not place.side and self._body(parent, end, width).label is not None:
            return y + 0.35 * style.body, ()
        if self._told_below(parent, end, width):
            return y + 0.3 * style.body, ()
        x = style.aside if place.side else self._body(parent, end, width).stem[0] + style.aside - style.stem
        words = self._label(parent, width, place.exit, x)
        top = y + (0.18 if words.count else 0.0) * style.body
        bottom = top + words.count * style.lead
        # The line runs beside its words already: below them it needs no length of its own.
        gap = 0.1 * style.body if place.side else 0.22 * style.body if words.count else style.arrow
        return bottom + gap, ((top, words),) if words.count else ()

    def _told_below(self, index: int, end: int, width: float) -> bool:
        """Whether the decision behind a repair says which way goes on."""
        return self.places[index].box.asks_cured and self._body(index, end, width).label is not None

    def _body(self, index: int, end: int, width: float) -> Body:
        """The box, when the boxes up to `end` stand below it in its column."""
        box = self.places[index].box
        near = [self.places[child] for child in self._children.get(index, []) if child < end]
        beside = tuple(place.exit for place in near)
        # Words may share a line with other exits only where nothing stands aside between them and the next box.
        down = near[0].exit if len(near) == 1 and not near[0].side else None
        key = (index, width, beside, down)
        if key not in self._bodies:
            rows = [i for i in range(len(box.exits)) if i not in beside]
            self._bodies[key] = set_body(self.style, self.goals, box, width, rows, down)
        return self._bodies[key]

    def _label(self, index: int, width: float, way: int, x: float) -> Block:
        key = (index, width, way, x)
        if key not in self._labels:
            self._labels[key] = set_label(self.style, self.places[index].box.exits[way], x, width)
        return self._labels[key]

    def place(self, start: int, end: int, width: float, left: float) -> tuple[PlacedBox, ...]:
        """That column at its place, with its lines."""
        items = {item.index: item for item in self.column(start, end, width)}
        return tuple(self._placed(item, items, left) for item in items.values())

    def _placed(self, item: Item, items: dict[int, Item], left: float) -> PlacedBox:
        x, body = left + item.x, item.body
        rows = [way.moved(x, item.top) for way in body.exits]
        branches = [] if body.last_branch is None else [item.top + body.last_branch]
        near = [items[child] for child in self._children.get(item.index, []) if child in items]
        for other in near:
            way = self._joined(item, other, left)
            rows.append(way)
            branches += [way.line[0][1]] if self.places[other.index].side else []
        top: Point = (x + body.stem[0], item.top + body.stem[1])
        straight = any(not self.places[other.index].side for other in near)
        stems = [moved_points(body.drop, x, item.top)] if body.drop else []
        stems += [(top, (top[0], max(branches)))] if branches and not straight else []
        return PlacedBox(
            self.places[item.index].box,
            body.outline.moved(x, item.top),
            tuple(mark.moved(x, item.top) for mark in body.marks),
            tuple(stems),
            tuple(sorted(rows, key=lambda way: way.index)),
        )

    def _joined(self, item: Item, other: Item, left: float) -> PlacedExit:
        """The exit to a box in the same column that hangs on this one."""
        style, place = self.style, self.places[other.index]
        x = left + item.x
        stem: Point = (x + item.body.stem[0], item.top + item.body.stem[1])
        shared = () if place.side and not self.places[item.index].box.asks_cured else item.body.label or ()
        label = tuple(t.moved(x, item.top) for t in shared)
        label += tuple(t.moved(x, top) for top, block in other.label for t in block.texts)
        if not place.side:
            return PlacedExit(place.exit, place.box.id, (), label, (stem, (stem[0], other.top)))
        y = self._first_line(other.top)
        edge = (left + other.x, y)
        if not other.beside:
            return PlacedExit(place.exit, place.box.id, (), label, ((stem[0], y), edge))
        words = other.label[0][1]
        branch = ((stem[0], y), (x + style.aside - style.gap, y))
        return PlacedExit(place.exit, place.box.id, branch, label, ((x + words.end_x + style.gap, y), edge))
