"""The order in which the boxes of a chart stand on paper, and how each hangs on those before it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from faultleaf.layout.chart import Chart, ChartBox

MOST_IN_CHAIN = 3  # boxes one below the other that may stand aside of a path


@dataclass(frozen=True)
class Place:
    """A box in the order of reading.

    `parent` is the place in the order of the box that it hangs on, by that box's exit number `exit`:
    straight below it, or aside (`side`) where the call ends soon. None: it begins a path of its own.
    """

    box: ChartBox
    parent: int | None = None
    exit: int = 0
    side: bool = False


def reading_order(chart: Chart) -> tuple[Place, ...]:
    """All boxes: the likeliest path that goes on straight down, ends aside right after the step they end.

    Then come the branches of that path from top to bottom, each in the same way, so that the numbers of
    the boxes rise from the top of the first column to the foot of the last.
    """
    return tuple(_Walk(chart).places())


class _Walk:
    """Which boxes have a place already."""

    def __init__(self, chart: Chart) -> None:
        self._root = chart.root
        self._boxes = chart.by_id()
        self._entries = ways_in(chart)
        self._index: dict[str, int] = {}

    def places(self) -> Iterator[Place]:
        waiting = [self._root]
        while waiting:
            start = waiting.pop()
            if start not in self._index:
                path: list[str] = []
                yield from self._path(Place(self._boxes[start]), path)
                waiting.extend(t for one in reversed(path) for t in reversed(self._open_targets(one)))

    def _path(self, place: Place, path: list[str]) -> Iterator[Place]:
        """From this place straight down; `path` gets the ids of all that is passed."""
        after: Place | None = place
        while after is not None:
            box = after.box
            self._index[box.id] = len(self._index)
            path.append(box.id)
            yield after
            here = self._index[box.id]
            down = self._down(box)
            for i, way in enumerate(box.exits):
                if i != down and way.target is not None and self._ends(way.target):
                    yield from self._chain(Place(self._boxes[way.target], here, i, side=True), path)
            target = None if down is None else box.exits[down].target
            after = None if target is None else Place(self._boxes[target], here, down or 0)

    def _chain(self, place: Place, path: list[str]) -> Iterator[Place]:
        after: Place | None = place
        while after is not None:
            box = after.box
            here = self._index[box.id] = len(self._index)
            path.append(box.id)
            yield after
            ends = [(i, t) for i, t in self._open_exits(box) if self._ends(t)]
            after = Place(self._boxes[ends[0][1]], here, ends[0][0]) if ends else None

    def _down(self, box: ChartBox) -> int | None:
        """The likeliest exit that goes on; where all end soon, the likeliest of these."""
        ways = self._open_exits(box)
        on = [(i, target) for i, target in ways if not self._ends(target)] or ways
        return min(on, key=lambda way: (-box.exits[way[0]].share, way[0]))[0] if on else None

    def _ends(self, target: str, left: int = MOST_IN_CHAIN) -> bool:
        """Whether this box, which only one exit leads to, ends the call or leads back among other boxes."""
        box = self._boxes[target]
        if target in self._index or self._entries[target] > 1 or box.symbol == "decision" or not left:
            return False
        on = [way.target for way in box.exits if way.target is not None and self._entries[way.target] == 1]
        return not on or (len(on) == 1 and self._ends(on[0], left - 1))

    def _open_exits(self, box: ChartBox) -> list[tuple[int, str]]:
        ways = ((i, way.target) for i, way in enumerate(box.exits))
        return [(i, target) for i, target in ways if target is not None and target not in self._index]

    def _open_targets(self, box: str) -> list[str]:
        return [target for _, target in self._open_exits(self._boxes[box])]


def ways_in(chart: Chart) -> Mapping[str, int]:
    """How many exits lead to each box."""
    entries = {box.id: 0 for box in chart.boxes}
    for box in chart.boxes:
        for way in box.exits:
            if way.target is not None:
                entries[way.target] += 1
    return entries
