"""What pairs of faults pay at least, at their own odds and at all others that tests may lead to.

A pair is a problem of its own: weights x, y of two parts; it pays stop(x, y) = min(ax, by) where a plan
repairs, or does one of the tests left for αx + γy (its share of the price) and goes on with x·P(o|i) and
y·P(o|j). Its value is concave and grows in proportion to (x, y), so a ray between two others is worth their
sum at least (`odds.py`). Two bounds that hold whatever tests were done before start the table:

1. *One test or none*: min(stop, the cheapest test that tells the two apart).
2. *Potentials*, one for each θ > 0: with ρ = √(ab·xy) and S the tests left, those already done included,
   L(x, y) = sinh θ·ρ·Π_{t∈S} β(t) − (cosh θ − 1)·(ax + by)/2. No test lets L fall faster than its price when
   it leaves S: Σ_o √(x P(o|i)·y P(o|j)) is √(xy)·near(t), ax + by stays as it is on average, and
   αx + γy ≥ 2√(αγ·xy) makes up for the rest where β(t) = min(1, near(t) + 2√(αγ·xy)/(sinh θ·ρ)), because
   the product over the other tests is at most 1. And L ≤ ax: by 2√(pq) ≤ p + q and
   sinh² θ = (cosh θ + 1)(cosh θ − 1), sinh θ·ρ ≤ ax·(cosh θ + 1)/2 + by·(cosh θ − 1)/2. Likewise L ≤ by.

*Sweeps* look further ahead: where D is a lower bound of the value for the tests left or fewer, so is
min(stop, least over tests of price + Σ_o D(after o)). Reference: R. Bellman, "Dynamic Programming" (1957).
"""

from dataclasses import dataclass

import numpy as np

from faultleaf.diagnosis.model.problem import Floats
from faultleaf.diagnosis.proof.odds import MOST, RISE, WIDE, Ints, Odds
from faultleaf.diagnosis.proof.pair_bound import TINY, Bools, Pairs

STEEPNESS = tuple(float(step) for step in np.geomspace(0.1, 8.0, 12))
"""The θ that are tried."""
SHARE_ROUNDS = 3
"""Rounds of sharing the tests' prices out among the pairs at first; any number gives a valid bound."""
SWEPT = 64
"""How many pairs are swept, those with the most at stake."""
SWEEPS = 3
"""How many tests ahead the sweeps look."""
SHIFT = 2
"""How eagerly a test's price goes over to those pairs that it is the cheapest for."""


@dataclass(frozen=True, eq=False)
class Table:
    """What every pair pays at least, minutes × weight: `values` (P, G), for √(xy) as it is now, at the odds
    it has now (the middle) and others. `one`, `two` are its faults, `curable` whether its second part is."""

    one: Ints
    two: Ints
    curable: Bools
    values: Floats

    def here(self) -> float:
        """What all pairs pay from here."""
        return float(self.values[:, WIDE].sum())

    def after_tests(self, odds: Odds, tests: Ints) -> Floats:
        """What they pay after each outcome of these tests, (tests, O)."""
        place, low, high = (
            part[tests[:, None, None], np.arange(part.shape[1])[:, None], self.one, self.two]
            for part in (odds.place, odds.low, odds.high)
        )
        rows, last = np.arange(len(self.one)), 2 * WIDE + 2
        padded = np.pad(self.values, ((0, 0), (1, 1)))  # nothing is known beyond the grid
        before, behind = np.clip(place + WIDE + 1, 0, last), np.clip(place + WIDE + 2, 0, last)
        return np.asarray((low * padded[rows, before] + high * padded[rows, behind]).sum(axis=2))

    def after_repairs(self, fixed: Bools) -> Floats:
        """What they pay after each of these repairs did not cure, (repairs,); `fixed` (repairs, F)."""
        ended = fixed[:, self.one] | (fixed[:, self.two] & self.curable)
        return np.asarray(~ended @ self.values[:, WIDE])


def table_of(pairs: Pairs, faults: Ints, minutes: Floats, tests: Ints, odds: Odds) -> Table:
    """The table of pairs of these faults with these tests left, of `minutes` (tests,).

    The shares of the tests' prices are chosen in two goes, the second by what the first one says.
    """
    one, two = (faults[pairs.parts.owners[place]] for place in (pairs.one, pairs.two))
    near = odds.near[:, one, two][tests]
    kernels = odds.kernels[:, one[:SWEPT], two[:SWEPT]][tests]
    curable = pairs.parts.curable[pairs.two]
    if not len(tests) or not len(one):
        return Table(one, two, curable, _ends(pairs))
    needs, paid = _first_shares(pairs, minutes, near)
    values, scores = _swept(pairs, near, paid, kernels, 1)
    needs = needs * (values[:, WIDE] / np.maximum(scores, np.maximum(values[:, WIDE], TINY))) ** SHIFT
    paid = pairs.shared(minutes[:, None] * pairs.parts.weights, needs)
    return Table(one, two, curable, _swept(pairs, near, paid, kernels, SWEEPS)[0])


def _first_shares(pairs: Pairs, minutes: Floats, near: Floats) -> tuple[Floats, tuple[Floats, Floats]]:
    """What every pair needs of each test (T, P), and what its two parts pay for it: by what is at stake and how
    far the test tells the two apart, less where it gets more than is at stake."""
    prices, needs = minutes[:, None] * pairs.parts.weights, pairs.stop * (1 - near)
    for _ in range(SHARE_ROUNDS):
        paid = pairs.shared(prices, needs)
        needs = needs * np.minimum(1.0, pairs.stop / np.maximum(paid[0] + paid[1], TINY))
    return needs, pairs.shared(prices, needs)


def _ends(pairs: Pairs) -> Floats:
    """(P, G): what is paid at the stop."""
    return np.minimum(pairs.ones[:, None] * RISE, pairs.twos[:, None] / RISE)


def _swept(
    pairs: Pairs, near: Floats, paid: tuple[Floats, Floats], kernels: Floats, sweeps: int
) -> tuple[Floats, Floats]:
    """The values (P, G), and what each test would cost a pair now with what follows it (T, P)."""
    ends, values = _ends(pairs), _potentials(pairs, near, paid)
    here, there = paid[0][:, :SWEPT, None], paid[1][:, :SWEPT, None]
    price = np.where(near[:, :SWEPT, None] < 1, here * RISE + there / RISE, np.inf)
    best = np.maximum(values[:SWEPT], np.minimum(ends[:SWEPT], price.min(axis=0)))
    for _ in range(sweeps):
        windows = np.lib.stride_tricks.sliding_window_view(np.pad(best, ((0, 0), (MOST, MOST))), 2 * MOST + 1, axis=1)
        after = price + np.matmul(windows, kernels[..., None])[..., 0]
        best = np.maximum(best, np.minimum(ends[:SWEPT], after.min(axis=0)))
    values[:SWEPT] = best
    scores = np.where(near < 1, paid[0] + paid[1], np.inf)
    scores[:, :SWEPT] = after[:, :, WIDE]
    return np.minimum(values, ends), scores


def _potentials(pairs: Pairs, near: Floats, paid: tuple[Floats, Floats]) -> Floats:
    """(P, G): the best of the potentials, 0 where none is above."""
    mean, refund = np.sqrt(pairs.ones * pairs.twos), 2 * np.sqrt(paid[0] * paid[1])
    sums = (pairs.ones[:, None] * RISE + pairs.twos[:, None] / RISE) / 2
    found = np.zeros(sums.shape)
    for steep in STEEPNESS:
        top = np.sinh(steep) * mean
        kept = np.minimum(1.0, near + refund / np.maximum(top, TINY)).prod(axis=0)
        found = np.maximum(found, (top * kept)[:, None] - (np.cosh(steep) - 1) * sums)
    return found
