"""The fold into columns against every possible fold, with piles whose heights are made up."""

from __future__ import annotations

import random
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import inf

import pytest
from faultleaf.layout.fold import Fold, Room, fold, folds

WIDTHS = (10.0, 12.0, 14.0, 16.0, 18.0)


@dataclass(frozen=True)
class Boxes:
    """Boxes of text that take less height the wider they are; `parents` are what they hang on."""

    areas: tuple[float, ...]
    parents: tuple[int | None, ...]

    def height(self, start: int, end: int, width: float) -> float:
        return sum(area / width for area in self.areas[start:end])

    def cuts(self, start: int, end: int) -> int:
        return sum(1 for parent in self.parents[start:end] if parent is not None and parent < start)


def random_boxes(rng: random.Random) -> Boxes:
    count = rng.randint(1, 7)
    areas = tuple(rng.uniform(100, 500) for _ in range(count))
    parents = tuple(rng.randrange(i) if i and rng.random() < 0.7 else None for i in range(count))
    return Boxes(areas, parents)


def least_width(boxes: Boxes, start: int, end: int, height: float) -> float:
    return next((width for width in WIDTHS if boxes.height(start, end, width) <= height), inf)


def all_folds(boxes: Boxes, room: Room) -> list[tuple[int, float, tuple[int, ...]]]:
    """Boxes torn off, width and starts of every fold that fits (slow)."""
    found = []
    count = len(boxes.areas)
    for breaks in range(count):
        for cut in combinations(range(1, count), breaks):
            columns = list(pairwise((0, *cut, count)))
            width = sum(least_width(boxes, a, b, room.height) for a, b in columns) + room.gutter * breaks
            if width <= room.width + 1e-9:
                found.append((sum(boxes.cuts(a, b) for a, b in columns), width, (0, *cut)))
    return found


@pytest.mark.parametrize("seed", range(200))
def test_the_fold_tears_off_fewest_boxes_then_is_least_wide(seed: int) -> None:
    rng = random.Random(seed)
    boxes = random_boxes(rng)
    room = Room(WIDTHS, 1.5, rng.uniform(12, 70), rng.uniform(20, 90))
    slow, fast = all_folds(boxes, room), fold(boxes, 0, len(boxes.areas), room)
    if not slow:
        assert fast is None
        return
    cuts, width, starts = min(slow)
    assert fast is not None
    assert (fast.cuts, fast.starts) == (cuts, starts)
    assert fast.width == pytest.approx(width)
    assert fast.widths == tuple(least_width(boxes, a, b, room.height) for a, b in pairwise((*starts, len(boxes.areas))))


def test_all_ends_that_can_be_reached_are_told() -> None:
    boxes = Boxes((300.0, 300.0, 300.0), (None, 0, 1))
    room = Room(WIDTHS, 1.0, 20.0, 40.0)
    assert folds(boxes, 0, 3, room) == {
        1: Fold((0,), (10.0,), 0, 10.0),
        2: Fold((0,), (16.0,), 0, 16.0),
    }
    assert fold(boxes, 0, 3, room) is None
