"""Minutes that no plan can beat, by what every two faults must pay to be told apart.

*Extra* is all that is paid beyond v(f), what the fault costs at least once it is known (`known_fault_minutes`):
tests, repairs that cannot fix the fault, handing on instead of repairing. Each price is shared out among
pairs of faults, every pair then pays at least the value of a small problem of its own, and these add up.

*Parts.* Whether an untried repair will cure the fault may be thought to be drawn beforehand. So the weight x
of a fault falls into a *curable* part x·(1 − s) and a *stubborn* part x·s, s being the chance that no repair
left cures it. The stubborn part stays to the end, however often its fault is repaired, and pays on.

*Pairs* are two parts i, j of two faults, one of them curable at least, that no one repair left can fix both.
The shares of each price that count for the pair:

* a repair that can fix i's fault: what it costs part j, which it cannot fix; shared among the faults that
  the repair can fix, so that its minutes are counted once for every j;
* handing on while no repair of i's fault was tried: its extra x·(hand-on − v), shared among the pairs of
  its curable part (had one been tried, v counts handing on and nothing is added);
* a test: its minutes × the weight of i, shared among the pairs of part i; of j likewise.

The first step that ends the pair is a repair that can fix one of the two or handing on: so it pays
*stop* = min(what j pays for i's repair, what i pays for j's, both shares of handing on), and before it only
tests change the weights (x, y) of the two. Two bounds of the pair's value are proved at `_told_apart`.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from faultleaf.diagnosis.problem import Floats

SHARE_ROUNDS = 4
"""Rounds of sharing a price out among the pairs; any number gives a valid bound."""
STEEPNESS = (0.25, 0.5, 1.0, 1.5, 2.0, 3.0, 5.0)
"""Which potentials are tried, see `_told_apart`."""
ALIKE = 1e-12
TINY = 1e-300
Bools = NDArray[np.bool_]
Ints = NDArray[np.int_]


def affinities(tables: Floats) -> Floats:
    """(T, F, F): Σ √(P(o|f)·P(o|g)) over the outcomes, 1 where a test cannot tell two faults apart.

    Reference: A. Bhattacharyya, "On a measure of divergence between two statistical populations", Bulletin
    of the Calcutta Mathematical Society 35 (1943).
    """
    root = np.sqrt(tables)
    found = np.einsum("tof,tog->tfg", root, root)
    return np.asarray(np.where(found > 1 - ALIKE, 1.0, found))


@dataclass(frozen=True, eq=False)
class Parts:
    """The parts of a belief's faults, (N,): whose they are, their weights, which are curable, and what
    handing on adds to them."""

    owners: Ints
    weights: Floats
    curable: Bools
    more: Floats


@dataclass(frozen=True, eq=False)
class Pairs:
    """Pairs of parts, (P,): places of the two, and what the one pays where the other's fault is repaired
    first: `ones` is paid by `one`, `twos` by `two`; infinite where the other is stubborn."""

    parts: Parts
    one: Ints
    two: Ints
    ones: Floats
    twos: Floats

    @cached_property
    def members(self) -> Floats:
        """(P, N): 1 where the part is one of the pair."""
        found = np.zeros((len(self.one), len(self.parts.weights)))
        rows = np.arange(len(self.one))
        found[rows, self.one] = found[rows, self.two] = 1.0
        return found

    def shared(self, prices: Floats, needs: Floats) -> tuple[Floats, Floats]:
        """What the two pay where every part's price (K, N) is shared among its pairs as they need it (K, P)."""
        rate = prices / np.maximum(needs @ self.members, TINY)
        return needs * rate[:, self.one], needs * rate[:, self.two]


def parts_of(belief: Floats, floor: Floats, stubborn: Floats, hand_on: float | None) -> Parts:
    """Curable parts, then stubborn ones; without handing on the stubborn are left out, for their call never ends."""
    more = np.zeros_like(belief) if hand_on is None else belief * (hand_on - floor)
    curing, left = belief * (1 - stubborn), belief * stubborn * (hand_on is not None)
    cured, stuck = np.flatnonzero(curing > 0), np.flatnonzero(left > 0)
    return Parts(
        np.concatenate([cured, stuck]),
        np.concatenate([curing[cured], left[stuck]]),
        np.arange(len(cured) + len(stuck)) < len(cured),
        np.concatenate([more[cured], np.zeros(len(stuck))]),
    )


def pairs_of(parts: Parts, spoils: Floats, both: Bools) -> Pairs:
    """The pairs that may have to pay. `spoils` (F, F): minutes that a repair of the first fault costs the second,
    `both` where one repair can fix the two."""
    one, two = np.triu_indices(len(parts.owners), 1)
    first, second = parts.owners[one], parts.owners[two]
    kept = (first != second) & ~both[first, second] & (parts.curable[one] | parts.curable[two])
    one, two, first, second = one[kept], two[kept], first[kept], second[kept]
    ones = np.where(parts.curable[two], spoils[second, first], np.inf) * parts.weights[one]
    twos = np.where(parts.curable[one], spoils[first, second], np.inf) * parts.weights[two]
    return Pairs(parts, one, two, ones, twos)


def spoiled(minutes: Floats, fixed: Bools) -> tuple[Floats, Bools]:
    """(F, F) least minutes of a repair that can fix the first fault and not the second, each repair (R,) shared
    among the faults that it can fix, `fixed` (R, F); and whether one repair can fix both."""
    share = minutes / np.maximum(fixed.sum(axis=1), 1)
    only = fixed[:, :, None] & ~fixed[:, None, :]
    least = np.where(only, share[:, None, None], np.inf).min(axis=0, initial=np.inf)
    return least, np.asarray((fixed[:, :, None] & fixed[:, None, :]).any(axis=0))


def pairs_pay(pairs: Pairs, hand_on: bool, minutes: Floats, alike: Floats) -> float:
    """Minutes × weight that the pairs must pay: of tests the `minutes` (T,), and of each for every pair of
    faults how far it is from telling them apart, (T, F, F)."""
    if not len(pairs.one):
        return 0.0
    parts = pairs.parts
    ones, twos = pairs.ones, pairs.twos
    if hand_on:
        ones, twos = _with_handing_on(pairs)
    stop = np.minimum(ones, twos)
    if not len(minutes):
        return float(stop.sum())
    near = alike[:, parts.owners[pairs.one], parts.owners[pairs.two]]
    prices, needs = minutes[:, None] * parts.weights, stop * (1 - near)
    told = near < 1
    paid, best = pairs.shared(prices, needs), 0.0
    for _ in range(SHARE_ROUNDS):
        paid = pairs.shared(prices, needs)
        whole = np.where(told, paid[0] + paid[1], np.inf)
        found = _told_apart(ones, twos, near, paid, whole)
        best = max(best, float(found.sum()))
        needs = needs * np.minimum(1.0, stop / np.maximum(whole, TINY))
    return best


def _with_handing_on(pairs: Pairs) -> tuple[Floats, Floats]:
    """What the two pay at least, handing on counted among the ways to end: stop = min(ones, twos).

    Handing on costs both their shares, hence at least each of them alone: the share of one is taken for what
    it pays at most, or that of the other, whichever is better.
    """
    ones, twos = pairs.ones, pairs.twos
    least = np.minimum(ones, twos)
    needs, more = least[None], pairs.parts.more[None]
    one, two = pairs.shared(more, needs)
    for _ in range(SHARE_ROUNDS):
        needs = needs * np.minimum(1.0, least / np.maximum(one + two, TINY))
        one, two = pairs.shared(more, needs)
    first = np.minimum(ones, one[0]), twos
    second = ones, np.minimum(twos, two[0])
    better = np.minimum(*first) >= np.minimum(*second)
    return np.where(better, first[0], second[0]), np.where(better, first[1], second[1])


def _told_apart(ones: Floats, twos: Floats, near: Floats, paid: tuple[Floats, Floats], whole: Floats) -> Floats:
    """(P,) the better of two bounds of what each pair pays. For tests (T, P): affinity `near`, what the two
    pay for it, and both together (infinite where it does not tell them apart).

    1. Some test that tells them apart is done, or none is: min(stop, the cheapest test).
    2. A potential. Let a·x and b·y be what the two pay at the stop, ρ = √(ab·xy), and for θ > 0
       L(x, y, S) = sinh θ·ρ·Π_{t∈S} β(t) − (cosh θ − 1)·(ax + by)/2 with S the tests left. L ≤ min(ax, by), since
       2√(uv) ≤ ku + v/k with k = e^±θ… (proof below), and no test lets it fall faster than its price:
       Σ_o √(x P(o|i)·y P(o|j)) is √(xy) × affinity, ax + by stays as it is on average, and the price,
       αx + γy ≥ 2√(αγ·xy), makes up for the rest where β = min(1, affinity + 2√(αγ·xy)/(sinh θ·ρ)), for the
       product over the other tests is at most 1. So the pair pays L(x, y, S) at least.

    L ≤ ax: with u = ax, v = by, sinh θ·√(uv) ≤ u·(cosh θ + 1)/2 + v·(cosh θ − 1)/2 by 2√(pq) ≤ p + q, as
    (cosh θ + 1)(cosh θ − 1) = sinh² θ; the rest of v is subtracted. Likewise L ≤ by.
    """
    stop = np.minimum(ones, twos)
    found = np.minimum(stop, whole.min(axis=0, initial=np.inf))
    mean, sums = np.sqrt(ones * twos), (ones + twos) / 2
    refund = 2 * np.sqrt(paid[0] * paid[1])
    for steep in STEEPNESS:
        top = np.sinh(steep) * mean
        kept = np.minimum(1.0, near + refund / np.maximum(top, TINY)).prod(axis=0)
        found = np.maximum(found, top * kept - (np.cosh(steep) - 1) * sums)
    return np.minimum(found, stop)
