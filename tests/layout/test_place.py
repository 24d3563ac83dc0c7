"""The fold into columns against every possible fold, and units that sink beside their exits."""

from __future__ import annotations

import random
from itertools import combinations, pairwise

import pytest
from faultleaf.layout import ChartBox, Rect, Unit
from faultleaf.layout.metrics import Rulers
from faultleaf.layout.place import Piece, fold, gap_above
from faultleaf.layout.style import Style
from faultleaf.pipeline.fonts import load_metrics

STYLE = Style(Rulers(load_metrics()), 4.0)


def unit(name: str, height: float) -> Unit:
    return Unit(ChartBox(name, 1, "process", "x"), Rect(0, 0, 50, height), (), (), 5.0, 2.0, True, 0)


def random_pieces(seed: int) -> list[Piece]:
    rng = random.Random(seed)
    pieces = []
    for i in range(rng.randint(2, 8)):
        height = rng.uniform(10, 60)
        goes_on = rng.random() < 0.6
        closed = unit(f"b{i}", height + rng.uniform(0, 8) if goes_on else height)
        pieces.append(Piece(unit(f"b{i}", height) if goes_on else closed, closed, goes_on, rng.randint(0, 3)))
    return pieces


def all_folds(pieces: list[Piece], columns: int, limit: float) -> list[tuple[int, float, tuple[int, ...]]]:
    """Cuts, tallest column and starts of every fold that fits (slow)."""
    found = []
    for breaks in combinations(range(1, len(pieces)), columns - 1):
        edges = (0, *breaks, len(pieces))
        heights = []
        for a, b in pairwise(edges):
            gaps = sum(gap_above(STYLE, pieces, i, first=i == a) for i in range(a, b))
            heights.append(gaps + sum(pieces[i].joined.area.h for i in range(a, b - 1)) + pieces[b - 1].closed.area.h)
        if max(heights) <= limit:
            found.append((sum(pieces[i - 1].goes_on for i in breaks), max(heights), edges[:-1]))
    return found


@pytest.mark.parametrize("seed", range(60))
@pytest.mark.parametrize("columns", [1, 2, 3, 4])
def test_the_fold_cuts_fewest_straight_ways_then_is_least_tall(seed: int, columns: int) -> None:
    pieces = random_pieces(seed)
    limit = random.Random(seed).uniform(60, 250)
    slow = all_folds(pieces, columns, limit)
    fast = fold(STYLE, pieces, columns, limit)
    if not slow:
        assert fast is None
        return
    assert fast is not None
    cuts, height, _ = min(slow)
    assert fast.cuts == cuts
    assert fast.height == pytest.approx(height, abs=1e-9)
