"""How tests move the odds of two faults, on a grid, worked out once for a problem."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from faultleaf.diagnosis.model.problem import Floats

Ints = NDArray[np.int_]
STEP, WIDE, MOST = 0.5, 12, 8
"""The grid of ln(x/y): its step, how many steps to each side, and the farthest that a test is followed."""
RISE: Floats = np.exp(STEP * np.arange(-WIDE, WIDE + 1) / 2)
"""(G,): x at each ray of the grid over x at the middle one, where √(xy) stays as it is; of y the inverse."""
ALIKE = 1e-12


@dataclass(frozen=True, eq=False)
class Odds:
    """A *ray* is a pair of weights (√(xy)·e^(ℓ/2), √(xy)·e^(−ℓ/2)), ℓ = ln(x/y).

    An outcome with chances p and q takes it to a ray √(pq) times as long and ln(p/q) further on: `place`
    (T, O, F, F) whole steps of the grid and a rest. That one lies between two rays of the grid: it is the
    sum of `low` times the one before and `high` times the one after it. Outcomes that rule one of the
    two out have √(pq) = 0.

    `near` (T, F, F) is Σ √(pq) over the outcomes, 1 where the test cannot tell the two apart. Reference:
    A. Bhattacharyya, "On a measure of divergence between two statistical populations", Bulletin of the
    Calcutta Mathematical Society 35 (1943). `kernels` (T, F, F, 2·MOST + 1) are `low` and `high` of all
    outcomes by steps; what lies beyond is left out.
    """

    place: Ints
    low: Floats
    high: Floats
    near: Floats
    kernels: Floats


def odds_of(tables: Floats) -> Odds:
    """The odds of tests (T, O, F); O(T·O·F²).

    >>> float(odds_of(np.array([[[0.9, 0.1], [0.1, 0.9]]])).near[0, 0, 1].round(9))
    0.6
    """
    here, there = tables[:, :, :, None], tables[:, :, None, :]
    seen = (here > 0) & (there > 0)
    scale = np.where(seen, np.sqrt(here * there), 0.0)
    moved = np.where(seen, np.log(np.where(seen, here, 1.0) / np.where(seen, there, 1.0)), 0.0) / STEP
    place = np.floor(moved).astype(np.int_)
    rest = moved - place
    low = scale * np.sinh((1 - rest) * STEP / 2) / np.sinh(STEP / 2)
    high = scale * np.sinh(rest * STEP / 2) / np.sinh(STEP / 2)
    near = scale.sum(axis=1)
    return Odds(place, low, high, np.where(near > 1 - ALIKE, 1.0, near), _kernels(place, low, high))


def _kernels(place: Ints, low: Floats, high: Floats) -> Floats:
    tests, _, faults, _ = place.shape
    kernels = np.zeros((tests, faults, faults, 2 * MOST + 1))
    for steps, part in ((place + MOST, low), (place + MOST + 1, high)):
        kept = np.nonzero((steps >= 0) & (steps <= 2 * MOST) & (part > 0))
        test, _, one, two = kept
        np.add.at(kernels, (test, one, two, steps[kept]), part[kept])
    return kernels
