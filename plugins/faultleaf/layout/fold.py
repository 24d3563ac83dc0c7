"""Boxes into columns: folded like a newspaper, paths kept whole where that is possible.

Columns need not be equally wide: each is made as narrow as the height of the page allows, so that a
column with little in it leaves its width to one that holds more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Protocol


class Pile(Protocol):
    """Boxes in the order of reading that can be folded into columns."""

    def height(self, start: int, end: int, width: float) -> float:
        """Height of a column of the boxes from `start` up to `end`; infinite where they cannot stand so."""
        ...

    def cuts(self, start: int, end: int) -> int:
        """How many boxes of this column are torn from what they hang on."""
        ...


@dataclass(frozen=True)
class Room:
    """What columns must fit: widths that a column may have, rising; the gutter, all columns together, the height."""

    widths: Sequence[float]
    gutter: float
    width: float
    height: float


@dataclass(frozen=True)
class Fold:
    """The first box and the width of each column, the boxes torn from what they hang on, the width of all."""

    starts: tuple[int, ...] = ()
    widths: tuple[float, ...] = ()
    cuts: int = 0
    width: float = 0.0


def fold(pile: Pile, start: int, end: int, room: Room) -> Fold | None:
    """The boxes from `start` up to `end` in columns; None where they do not fit.

    Of all folds that fit: the one that tears the fewest boxes off, then the one of least width.
    """
    return folds(pile, start, end, room).get(end)


def folds(pile: Pile, start: int, end: int, room: Room) -> dict[int, Fold]:
    """For each last box (exclusive) up to `end` that can be reached, the best fold from `start` to it.

    Dynamic programme over ends of columns and boxes torn off: at most n³ steps for n boxes.
    """
    best: dict[int, dict[int, Fold]] = {start: {0: Fold()}}
    for first in range(start, end):
        if first not in best:
            continue
        for stop, width in _columns(pile, first, end, room):
            cuts = pile.cuts(first, stop)
            for done in best[first].values():
                all_width = done.width + width + (room.gutter if done.starts else 0.0)
                offer = Fold((*done.starts, first), (*done.widths, width), done.cuts + cuts, all_width)
                known = best.setdefault(stop, {})
                if all_width <= room.width + 1e-9:
                    known[offer.cuts] = min(known.get(offer.cuts, offer), offer, key=_badness)
    return {stop: known[min(known)] for stop, known in best.items() if known and stop > start}


def _badness(one: Fold) -> tuple[float, tuple[int, ...]]:
    return one.width, one.starts


def _columns(pile: Pile, first: int, end: int, room: Room) -> list[tuple[int, float]]:
    """Ends of the columns that begin with this box and fit, with the least width of each."""
    found: list[tuple[int, float]] = []
    least = 0
    for stop in range(first + 1, end + 1):
        low, high = least, len(room.widths)  # too narrow below low, wide enough at high
        while low < high:
            middle = (low + high) // 2
            fits = pile.height(first, stop, room.widths[middle]) <= room.height
            low, high = (low, middle) if fits else (middle + 1, high)
        if low < len(room.widths):
            found.append((stop, room.widths[low]))
            least = max(0, low - 2)  # one box more seldom needs less, when its words go to another place
        elif inf > pile.height(first, stop, room.widths[-1]) > 1.25 * room.height:
            break
    return found
