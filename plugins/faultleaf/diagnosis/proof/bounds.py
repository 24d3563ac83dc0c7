"""Minutes that no plan can beat: admissible lower bounds of V(b), the value of a belief.

Write p for the belief, v(f) for what fault f costs at least when it is known to be there, and call
everything else that is paid *extra*: tests, repairs that cannot fix the fault, handing on instead of
repairing. Three bounds, each proved where it is worked out: Σ p·v alone, an *entropy* bound, which sees that
many faults need many bits, and a *pair* bound (`pair_bound.py`), which sees what tests leave undecided and who
then pays for whose repair. The best of them counts.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from faultleaf.diagnosis.model.problem import Floats, Problem, frozen_array
from faultleaf.diagnosis.proof.odds import Odds, odds_of
from faultleaf.diagnosis.proof.pair_bound import pairs_of, parts_of
from faultleaf.diagnosis.proof.pair_table import Table, table_of

RATES = 14
"""How many exchange rates between bits and minutes the entropy bound tries."""
SPREAD = 4.0
"""The rates reach from the dearest bit to the cheapest, and this factor beyond."""
CAPACITY_ROUNDS = 60
"""Rounds of the Blahut-Arimoto iteration; any number gives a valid bound, more a sharper one."""
FILL_ROUNDS = 4
"""Rounds of sharing the price of handing on among the faults; any number gives a valid bound."""
SPLIT_ROUNDS = 4
"""Rounds of choosing which part of each fault enters the entropy; any number gives a valid bound."""
MIXTURE_ROUNDS = 6
"""Rounds of choosing the mixture that a test is measured against; any number gives a valid bound."""
TINY = 1e-300
Bools = NDArray[np.bool_]


def _log2(values: Floats) -> Floats:
    return np.log2(np.maximum(values, TINY))


def entropy(beliefs: Floats) -> Floats:
    """Bits of each belief (N, F) → (N,)."""
    return np.asarray(-(beliefs * _log2(beliefs)).sum(axis=1))


def divergences(tables: Floats, alive: Bools) -> Floats:
    """D(T, F) in bits: how far each fault's row of a test lies from one fixed mixture of rows, at most.

    The mixture is near the one that makes the largest of them least, which is the capacity of the test
    as a channel. Reference: R. E. Blahut, "Computation of channel capacity and rate-distortion
    functions", IEEE Transactions on Information Theory 18 (1972). `tables` is (T, O, F).
    """
    rows = tables * alive
    inputs = np.tile(alive / max(alive.sum(), 1), (len(tables), 1))
    far = np.zeros((len(tables), len(alive)))
    for _ in range(CAPACITY_ROUNDS):
        mixture = np.einsum("tof,tf->to", rows, inputs)
        far = np.einsum("tof,tof->tf", rows, _log2(rows) - _log2(mixture)[:, :, None])
        inputs = inputs * np.exp2(far)
        inputs /= np.maximum(inputs.sum(axis=1, keepdims=True), TINY)
    return np.maximum(far, 0.0)


@dataclass(frozen=True, eq=False)
class Bounds:
    """What the bounds need of one problem, worked out once.

    `rates` (L,) are bits per minute; `surplus` (L, T, F) is what a test may be worth beyond its price
    to a fault at that rate: max(0, D/rate − minutes). `identify` leaves repairs out (stopping when the
    fault is identified).
    """

    problem: Problem
    rates: Floats
    surplus: Floats
    identify: bool

    @cached_property
    def entries(self) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
        """(repair, fault) of every chance of a cure, ordered by fault."""
        faults, repairs = np.nonzero(self.problem.fixes.T > 0)
        return repairs, faults

    @cached_property
    def chances(self) -> Floats:
        """P(cured) of every entry, (E,)."""
        repairs, faults = self.entries
        return self.problem.fixes[repairs, faults]

    @cached_property
    def starts(self) -> NDArray[np.int_]:
        """Where the entries of each fault that has any begin."""
        return np.flatnonzero(np.diff(self.entries[1], prepend=-1))

    @cached_property
    def repairable(self) -> NDArray[np.int_]:
        """The faults that have an entry, as `starts` goes."""
        return self.entries[1][self.starts]

    @cached_property
    def worth(self) -> Floats:
        """(L, E): log2(2^(rate·minutes) − 1)/rate of every entry's repair, see `entropy_bound`."""
        minutes = self.problem.least_minutes[self.entries[0]]
        spent = self.rates[:, None] * minutes
        return np.asarray(minutes + np.log2(-np.expm1(-spent * np.log(2))) / self.rates[:, None])

    @cached_property
    def odds(self) -> Odds:
        """How every test moves the odds of two faults."""
        return odds_of(self.problem.tables)


def bounds_of(problem: Problem) -> Bounds:
    """The bounds of a problem; O(T·O·F) for each of a fixed number of rounds."""
    alive = problem.weights > 0
    far = divergences(problem.tables, alive)
    capacity = far[:, alive].max(axis=1, initial=0.0)
    useful = (capacity > 1e-9) & (problem.test_minutes > 0)
    speeds = capacity[useful] / problem.test_minutes[useful]
    low, high = (speeds.min() / SPREAD, speeds.max() * SPREAD) if len(speeds) else (1e-3, 1.0)
    if not problem.identify:
        # A bit dearer than the dearest way to end a call is never bought: such rates bound nothing.
        ends = [] if problem.hand_on is None else [float(problem.ending.max())]
        dearest = max([*problem.repair_minutes, *ends], default=0.0)
        low = min(max(low, 1 / dearest), high) if dearest > 0 else low
    rates = np.geomspace(low, high, RATES)
    surplus = far[None] / rates[:, None, None] - problem.test_minutes[None, :, None]
    return Bounds(problem, frozen_array(rates), frozen_array(np.maximum(surplus, 0.0)), problem.identify)


def known_fault_minutes(bounds: Bounds, free: Bools) -> Floats:
    """v(f), (N, F): minutes that a call costs at least when the fault is known, with these repairs free.

    Handing on, or first a repair that can fix the fault and, where it fails, what follows
    (`_first_repair_minutes`). `free` is (N, R).
    """
    problem = bounds.problem
    floor = np.tile(problem.ending, (len(free), 1))
    if bounds.identify:
        return np.zeros_like(floor)
    if len(bounds.starts):
        least = np.minimum.reduceat(_first_repair_minutes(bounds, free), bounds.starts, axis=1)
        floor[:, bounds.repairable] = np.minimum(floor[:, bounds.repairable], least)
    return floor


def _first_repair_minutes(bounds: Bounds, free: Bools) -> Floats:
    """(N, E): what a known fault costs at least where this repair is the first tried of those that can fix it.

    Where it fails, at least the cheapest of what else ends the call follows: handing on if it was the only
    repair, any of them otherwise. Infinite where it is not free.
    """
    problem, (repairs, faults) = bounds.problem, bounds.entries
    last = problem.ending[bounds.repairable]
    minutes = np.where(free[:, repairs], problem.repair_spent[repairs, faults], np.inf)
    cures = np.where(free[:, repairs], problem.least_minutes[repairs], np.inf)
    after = np.tile(problem.ending, (len(free), 1))
    several = np.add.reduceat(free[:, repairs].astype(np.int_), bounds.starts, axis=1) > 1
    cheapest = np.minimum(last, np.minimum.reduceat(cures, bounds.starts, axis=1))
    after[:, bounds.repairable] = np.where(several, cheapest, last)
    fails = 1 - bounds.chances
    return np.asarray(minutes + np.where(fails > 0, fails * np.where(fails > 0, after[:, faults], 0.0), 0.0))


def entropy_bound(bounds: Bounds, beliefs: Floats, surplus: Floats, free: Bools) -> Floats:
    """Minutes (N,) that no plan beats from beliefs (N, F), by what bits cost at least.

    For any rate λ (bits per minute) let Φ(p, S, T) = Σ p(f)·(a(f) − Σ_{t∈S} g(t, f)) + H(p)/λ, with S
    the tests left, T the repairs done, H the entropy in bits, g(t, f) = max(0, D(t, f)/λ − c(t)) the
    surplus, and a(f) chosen as below. Φ is a lower bound of V because no step lets it fall faster
    than the minutes it costs, and it is at most 0 once cured:

    * a test: its information is at most Σ p·D (D is taken to any fixed mixture), so H/λ falls by at
      most Σ p·D/λ ≤ c + Σ p·g, and the second part comes back as t leaves S;
    * a repair of r minutes (the least it costs, cured or not) that fixes the set R: let q be the belief over
      R once cured and P its chance. Σ_R p·φ·a + (h(P) + P·H(q))/λ is at most log2(1 + Σ_R 2^(λ·a))/λ (Gibbs),
      which is r at most where Σ_R 2^(λ·a) ≤ 2^(λ·r) − 1. So a(f) = log2(2^(λ·r) − 1)/λ, less log2 of the share where
      it fixes several;
    * handing on at h minutes (the least of any fault): likewise Σ 2^(λ·a) ≤ 2^(λ·h) over all faults;
    * a repair that fixes f only with chance φ, the only one left: a is larger by what follows a
      failure, a = φ·a₀ + (1 − φ)·cap, cap being the share of handing on.

    The last step uses the belief only to pick a; any pick is valid. The form of the bound is the
    Kraft-Gibbs argument (C. E. Shannon 1948) with minutes as code length; as lower bound for test
    sequences: K. R. Pattipati and M. G. Alexandridis, IEEE Trans. SMC 20 (1990).
    `surplus` is Σ g over the tests left, (N, L, F) or (1, L, F).
    """
    rate = bounds.rates[None, :]
    if bounds.identify:
        bits = entropy(beliefs)[:, None] / rate
        return np.asarray((bits - np.einsum("nf,nlf->nl", beliefs, surplus + 0 * bits[:, :, None])).max(axis=1))
    ends, chances = _single_ends(bounds, beliefs, free)
    if bounds.problem.hand_on is None:
        minutes = ends
    else:
        unsure = chances < 1
        least = float(bounds.problem.ending.min())
        cap = _shared_price(np.where(unsure[:, None, :], np.inf, ends), beliefs, rate, least)
        chance = chances[:, None, :]
        mended = np.where(unsure[:, None, :], chance * np.where(unsure[:, None, :], ends, 0) + (1 - chance) * cap, ends)
        minutes = np.minimum(cap, mended)
    floor = known_fault_minutes(bounds, free)
    return _best_split(beliefs, floor, minutes - surplus, rate)


def _best_split(beliefs: Floats, floor: Floats, worth: Floats, rate: Floats) -> Floats:
    """(N,) the best of Σ (p − q)·v + Σ q·worth + |q|·H(q)/λ over rates and parts 0 ≤ q ≤ p.

    V is concave and grows with the weights, so V(p) ≥ V(p − q) + V(q): faults that are cheap to repair
    may be left out of the entropy, in part too. The best q is min(p, |q|·2^(λ·(worth − v))), found by
    going round a few times; every q on the way is valid.
    """
    belief = np.broadcast_to(beliefs[:, None, :], worth.shape)
    start = np.where(beliefs > 0, floor, 0.0)
    gain = np.where(belief > 0, worth - start[:, None, :], -np.inf)
    limit = np.exp2(np.clip(rate[:, :, None] * gain, -1000.0, 60.0))
    part = belief
    for _ in range(SPLIT_ROUNDS):
        part = np.minimum(belief, part.sum(axis=2, keepdims=True) * limit)
    whole = part.sum(axis=2)
    bits = (part * (_log2(whole)[:, :, None] - _log2(part))).sum(axis=2)
    extra = (part * np.where(part > 0, gain, 0.0)).sum(axis=2) + bits / rate
    base = (beliefs * start).sum(axis=1)
    return np.asarray(base + np.maximum(extra, 0.0).max(axis=1))


def _single_ends(bounds: Bounds, beliefs: Floats, free: Bools) -> tuple[Floats, Floats]:
    """a(f) by repairs alone (N, L, F), infinite where none is left; and P(cured) (N, F) where one only is."""
    count, faults = len(beliefs), beliefs.shape[1]
    lots = len(bounds.rates)
    ends, chances = np.full((count, lots, faults), np.inf), np.ones((count, faults))
    if not len(bounds.starts):
        return ends, chances
    places, owners = bounds.entries
    here = beliefs[:, owners]
    group = beliefs @ (bounds.problem.fixes.T > 0)
    share = _log2(here / np.maximum(group[:, places], TINY))
    share = np.where(here > 0, share, 0.0)
    each = bounds.worth[None] + share[:, None, :] / bounds.rates[None, :, None]
    each = np.where(free[:, None, places], each, np.inf)
    ends[:, :, bounds.repairable] = np.minimum.reduceat(each, bounds.starts, axis=2)
    left = np.add.reduceat(free[:, places].astype(np.int_), bounds.starts, axis=1)
    sure = np.where(free[:, places], bounds.chances, 0.0)
    only = np.maximum.reduceat(sure, bounds.starts, axis=1)
    chances[:, bounds.repairable] = np.where(left == 1, only, 1.0)
    return ends, chances


def _shared_price(ends: Floats, beliefs: Floats, rate: Floats, hand_on: float) -> Floats:
    """cap(f) ≤ ends with Σ 2^(rate·cap) ≤ 2^(rate·hand_on), by belief: (N, L, F).

    With t = 2^(rate·(ends − hand_on)) the caps are min(t, M·p) in those units; M = 1 is always valid,
    and M grows as what the capped faults leave over is shared among the others.
    """
    power = np.exp2(np.clip(rate[:, :, None] * (ends - hand_on), -1000.0, 60.0))
    belief = beliefs[:, None, :]
    level = np.ones(power.shape[:2])[:, :, None]
    for _ in range(FILL_ROUNDS):
        capped = power <= level * belief
        left = 1 - np.where(capped, power, 0.0).sum(axis=2, keepdims=True)
        open_ = np.where(capped, 0.0, belief).sum(axis=2, keepdims=True)
        level = np.maximum(level, np.where(open_ > 0, left / np.maximum(open_, TINY), 1e30))
    return np.asarray(np.minimum(ends, hand_on + _log2(level * belief) / rate[:, :, None]))


def sharper_surplus(bounds: Bounds, belief: Floats, left: Bools) -> Floats:
    """The surplus (L, T, F) of every test left (0 for the others), each where it is least at this belief.

    D may be taken to any mixture of rows. Least is Σ p·g at the mixture of just those faults whose
    surplus is not 0, which is come near by averaging (Frank-Wolfe steps; the sum is convex in the
    mixture). The fixed mixture of `Bounds` is kept where better.
    """
    rows = bounds.problem.tables[left]
    price = bounds.problem.test_minutes[left][None, :, None]
    fixed = bounds.surplus[:, left]
    best, score = fixed, fixed @ belief
    own = np.broadcast_to(belief, fixed.shape)
    mixture = np.zeros((len(bounds.rates), *rows.shape[:2]))
    for count in range(MIXTURE_ROUNDS):
        fresh = np.einsum("tof,ltf->lto", rows, own)
        mixture = mixture + (fresh / np.maximum(fresh.sum(axis=2, keepdims=True), TINY) - mixture) / (count + 1)
        far = np.einsum("tof,tof->tf", rows, _log2(rows))[None] - np.einsum("tof,lto->ltf", rows, _log2(mixture))
        gained = np.maximum(far / bounds.rates[:, None, None] - price, 0.0)
        better = (gained @ belief) < score
        best, score = np.where(better[:, :, None], gained, best), np.where(better, gained @ belief, score)
        own = np.where(gained > 0, belief, 0.0)
    whole = np.zeros(bounds.surplus.shape)
    whole[:, left] = best
    return whole


def pair_table(bounds: Bounds, belief: Floats, left: Bools, free: Bools) -> tuple[float, Table | None]:
    """Σ p·v of one belief, and what its pairs of faults pay beyond that; None where nothing is to be told apart.

    `left` (T,) are the tests left, `free` (R,) the repairs not tried. O(T·F²) and sweeps of fixed size.
    """
    problem = bounds.problem
    alive = np.flatnonzero(belief > 0)
    floor = known_fault_minutes(bounds, free[None])[0, alive]
    weights = belief[alive]
    base = float(weights @ floor)
    if bounds.identify or len(alive) < 2 or not base < np.inf:
        return base, None
    fixes = problem.fixes[free][:, alive]
    parts = parts_of(weights, floor, fixes, None if problem.hand_on is None else problem.ending[alive])
    regret = _tried_first(bounds, free)[:, alive] - floor * (fixes > 0)
    hand_on = problem.hand_on is not None
    pairs = pairs_of(parts, weights, problem.failed_minutes[free], fixes > 0, regret, hand_on=hand_on)
    return base, table_of(pairs, alive, problem.test_minutes[left], np.flatnonzero(left), bounds.odds)


def _tried_first(bounds: Bounds, free: Bools) -> Floats:
    """(free repairs, F): what a fault costs at least where the repair is the first tried of those that can fix it."""
    whole = np.zeros(bounds.problem.fixes.shape)
    if len(bounds.starts):
        whole[bounds.entries] = _first_repair_minutes(bounds, free[None])[0]
    return whole[free]


def pair_bound(bounds: Bounds, belief: Floats, left: Bools, free: Bools) -> float:
    """Minutes that no plan beats from one belief, by what every two faults must pay to be told apart."""
    base, table = pair_table(bounds, belief, left, free)
    return base if table is None else base + table.here()
