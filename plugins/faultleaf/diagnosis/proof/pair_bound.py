"""Minutes that no plan can beat, by what every two faults must pay to be told apart.

*Extra* is all that is paid beyond v(f), what a fault costs at least once it is known (`known_fault_minutes`):
tests, repairs that cannot fix the fault, handing on instead of repairing. Each price is shared out among
pairs of faults. Every pair then pays at least the value of a small problem of its own (`pair_table.py`), and
since the shares of a price add up to 1 at most, so do the values of all pairs.

*Parts.* Whether a repair will cure the fault may be thought to be drawn beforehand. So the weight x of a
fault falls into a *curable* part x·(1 − s) and a *stubborn* part x·s, s being the chance that no repair left
cures it. The stubborn part stays however often its fault is repaired, and goes on paying.

*Pairs* are two parts of two faults, the first one curable. For the pair count these shares:

* a repair that can fix the fault of one part: its minutes × the weight of the other part, which it
  cannot fix; shared among the faults that the repair can fix;
* a repair that can fix both faults, as the first that is tried of those that can fix a fault: its *regret*,
  what that fault then costs beyond v; shared among the other faults that the repair can fix. It is taken
  for 0 where one part is stubborn;
* handing on while no repair of the fault was tried: its extra x·(hand-on − v), shared among the pairs
  of its curable part (had a repair been tried, v counts handing on already, and nothing is added);
* a test: its minutes × the weight of a part, shared among the pairs of that part.

What first ends a pair is such a repair or handing on. So it pays, where the parts' weights are x and y then,
*stop* = min(ones, twos, both shares of handing on): `ones` is in proportion to x and is what part one pays for
the repair of the other fault, `twos` likewise. Until then only tests change x and y. Where no test is left
and each repair fixes its own fault for certain, the sum of all stops is exact: it is what the best run of
repairs costs beyond Σ p·v, as its order is by p over minutes.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from faultleaf.diagnosis.model.problem import Floats
from faultleaf.diagnosis.proof.odds import Ints

MOST_PAIRS = 512
"""So many pairs are looked at, those with the most at stake; the others are counted as nothing."""
LOPSIDED = 1e6
"""Neither part of a pair counts as paying more than this times the other; so nothing is infinite."""
TINY = 1e-300
Bools = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Parts:
    """Parts of the faults of a belief (N,), curable ones first: whose they are, their weights, which are
    curable, and what handing on adds to them."""

    owners: Ints
    weights: Floats
    curable: Bools
    more: Floats


@dataclass(frozen=True, eq=False)
class Pairs:
    """Pairs of parts (P,): the places of the two, and what they pay at the stop, which is min(ones, twos)."""

    parts: Parts
    one: Ints
    two: Ints
    ones: Floats
    twos: Floats

    @cached_property
    def stop(self) -> Floats:
        """What each pair pays where no test is done, (P,)."""
        return np.minimum(self.ones, self.twos)

    @cached_property
    def members(self) -> Floats:
        """(P, N): 1 where the part is one of the pair."""
        found = np.zeros((len(self.one), len(self.parts.weights)))
        rows = np.arange(len(self.one))
        found[rows, self.one] = found[rows, self.two] = 1.0
        return found

    def shared(self, prices: Floats, needs: Floats) -> tuple[Floats, Floats]:
        """What the two parts of each pair pay, (K, P), where the prices of every part (K, N) are shared among
        its pairs as these need it (K, P)."""
        rate = prices / np.maximum(needs @ self.members, TINY)
        return needs * rate[:, self.one], needs * rate[:, self.two]


def parts_of(belief: Floats, floor: Floats, fixes: Floats, hand_on: Floats | None) -> Parts:
    """The parts of a belief (F,) with the repairs left, `fixes` (R, F); `floor` is v, `hand_on` (F,) the minutes
    of handing on.

    Without handing on the stubborn parts are left out: no plan ends their calls.
    """
    stubborn = np.prod(1 - fixes, axis=0)
    more = belief * (0.0 if hand_on is None else hand_on - floor)
    curing, left = belief * (1 - stubborn), belief * stubborn * (hand_on is not None)
    cured, stuck = np.flatnonzero(curing > 0), np.flatnonzero(left > 0)
    return Parts(
        np.concatenate([cured, stuck]),
        np.concatenate([curing[cured], left[stuck]]),
        np.arange(len(cured) + len(stuck)) < len(cured),
        np.concatenate([more[cured], np.zeros(len(stuck))]),
    )


def pairs_of(parts: Parts, belief: Floats, minutes: Floats, fixed: Bools, regret: Floats, *, hand_on: bool) -> Pairs:
    """The pairs that have something at stake, dearest first.

    Of the repairs left: minutes (R,), what they can fix and their regret there (R, F). Their prices are
    shared by the weights of the faults, `belief` (F,).
    """
    one, two = np.triu_indices(len(parts.owners), 1)
    first, second = parts.owners[one], parts.owners[two]
    kept = (first != second) & parts.curable[one]
    one, two, first, second = one[kept], two[kept], first[kept], second[kept]
    spoils = _spoiled(belief, minutes, fixed)
    ones = np.where(parts.curable[two], spoils[second, first], np.inf) * parts.weights[one]
    twos = spoils[first, second] * parts.weights[two]
    for repair in np.flatnonzero(fixed.sum(axis=1) > 1):
        both = fixed[repair, first] & fixed[repair, second]
        weighed = np.where(fixed[repair], belief, 0.0)
        share = weighed[None, :] / np.maximum(weighed.sum() - weighed, TINY)[:, None]
        here = regret[repair, first] * parts.weights[one] * share[first, second] * parts.curable[two]
        there = regret[repair, second] * parts.weights[two] * share[second, first] * parts.curable[two]
        # The two regrets together are at least the larger of them.
        ones = np.where(both & (here >= there), np.minimum(ones, here), ones)
        twos = np.where(both & (here < there), np.minimum(twos, there), twos)
    pairs = Pairs(parts, one, two, ones, twos)
    pairs = _with_handing_on(pairs) if hand_on and len(one) else pairs
    return _dearest(pairs)


def _dearest(pairs: Pairs) -> Pairs:
    """The pairs with the most at stake; no side may be infinitely dearer than the other."""
    top = np.argsort(-pairs.stop, kind="stable")[:MOST_PAIRS]
    top = top[pairs.stop[top] > 0]
    ones, twos = (np.minimum(each[top], pairs.stop[top] * LOPSIDED) for each in (pairs.ones, pairs.twos))
    return Pairs(pairs.parts, pairs.one[top], pairs.two[top], ones, twos)


def _spoiled(belief: Floats, minutes: Floats, fixed: Bools) -> Floats:
    """(F, F) least minutes of a repair that can fix the first fault and not the second, each repair (R,) shared
    among the faults that it can fix; infinite where there is none."""
    weighed = fixed * belief
    share = minutes[:, None] * weighed / np.maximum(weighed.sum(axis=1, keepdims=True), TINY)
    only = fixed[:, :, None] & ~fixed[:, None, :]
    return np.asarray(np.where(only, share[:, :, None], np.inf).min(axis=0, initial=np.inf))


def _with_handing_on(pairs: Pairs) -> Pairs:
    """The pairs with handing on counted among what ends them.

    One of the two pays its share of it for the pair, which cuts `ones` or `twos`: the one for whom that
    leaves more where every part pays for all its pairs. Then the shares go to the pairs it does pay for.
    """
    ones, twos, more = pairs.ones, pairs.twos, pairs.parts.more
    one, two = pairs.shared(more[None], pairs.stop[None])
    first = np.minimum(np.minimum(ones, one[0]), twos) >= np.minimum(ones, np.minimum(twos, two[0]))
    payer = np.where(first, pairs.one, pairs.two)
    rate = more / np.maximum(np.bincount(payer, pairs.stop, len(more)), TINY)
    paid = pairs.stop * rate[payer]
    ones, twos = np.where(first, np.minimum(ones, paid), ones), np.where(first, twos, np.minimum(twos, paid))
    return Pairs(pairs.parts, pairs.one, pairs.two, ones, twos)
