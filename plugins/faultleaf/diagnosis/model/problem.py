"""The problem: faults with weights, tests and repairs with minutes, as read-only numpy arrays.

Everything the engine knows about a call stands in one frozen `Problem`. It comes from cards
(`compile.py`) or from a problem file (`problem_file.py`); nothing after it looks at either again.
One fault at a time: the faults exclude each other and one of them is there. A fault whose card names
several ways of showing has one row for each of them (rule 18). The last one may be `unlisted`, the share
of calls whose cause no card names.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Places = NDArray[np.int_]
Conditions = Mapping[str, frozenset[str]]
"""Test id → the outcomes that are meant (any one of them)."""

UNLISTED = "unlisted"
CURED = "cured"
STILL_THERE = "still-there"
HAND_ON = "hand-on"


class DiagnosisError(Exception):
    """A request that the engine cannot answer, said in words for the one who asked."""


class ProblemError(DiagnosisError):
    """A problem with mistakes in it; `mistakes` names every wrong entry, in order."""

    def __init__(self, mistakes: tuple[str, ...]) -> None:
        super().__init__("; ".join(mistakes))
        self.mistakes = mistakes


def frozen_array(values: ArrayLike) -> Floats:
    """A read-only float copy of the values."""
    array = np.array(values, dtype=np.float64)
    array.setflags(write=False)
    return array


@dataclass(frozen=True, eq=False)
class Test:
    """Something done or looked at: `table[f, o]` is P(outcome o | fault f), every row sums to 1.

    `minutes` is the whole cost; `minutes_together` where one of the tests `together` was done, which waited at
    the same time. `otherwise[o]` is what is seen when no named fault is there. `way` is how it is done.
    `renews` maps an outcome to what it sets other tests' findings to (rule 17). `perishes_after` are the
    steps after which it is worth nothing (rule 19). `hands_on` are the minutes of work in it, which no cost
    is reckoned from: waits that nobody stands through and coming back are left out.
    `equipment` marks the noiseless question about a feature of the system. A test that is not
    `offered` (refused, above the rank, not fitted) is never proposed, but a finding of it counts.
    """

    __test__ = False  # the word is the trade's; pytest must not collect it

    id: str
    minutes: float
    outcomes: tuple[str, ...]
    table: Floats
    otherwise: Floats
    needs: Conditions = field(default_factory=dict)
    never_when: Conditions = field(default_factory=dict)
    who: str = "owner"
    offered: bool = True
    equipment: bool = False
    way: str = "look"
    renews: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    perishes_after: frozenset[str] = frozenset()
    together: frozenset[str] = frozenset()
    minutes_together: float = 0.0
    hands_on: float = 0.0


@dataclass(frozen=True, eq=False)
class Repair:
    """What removes faults: `fixes[f]` is P(cured | fault f), `minutes` the whole cost where it cured, proof
    included, `failed_minutes` where it did not, up to the look that shows it.

    `fault` is the fault it belongs to. `restore` is what is found afterwards where it did not cure. One that
    is done `by_other` (above the rank at hand, or a job to quote) ends the call with its cause named.
    `hands_on` are the minutes of work in it where it cured, all looks of the proof included.
    """

    id: str
    fault: str
    minutes: float
    fixes: Floats
    needs: Conditions = field(default_factory=dict)
    never_when: Conditions = field(default_factory=dict)
    restore: Mapping[str, str] = field(default_factory=dict)
    who: str = "owner"
    failed_minutes: float = -1.0
    by_other: bool = False
    hands_on: float = 0.0

    def __post_init__(self) -> None:
        if self.failed_minutes < 0:
            object.__setattr__(self, "failed_minutes", self.minutes)


@dataclass(frozen=True)
class Stop:
    """An outcome that ends everything but the steps it `allows` and handing on (rule 16).

    `caution` says what to do now and `call` whom to call; both empty where the outcome is no danger but means
    that an instrument must be mended before anything else (rule 17).
    """

    test: str
    outcome: str
    allows: frozenset[str]
    caution: str = ""
    call: str = ""


@dataclass(frozen=True, eq=False)
class Problem:
    """One call: who may be to blame with what weight, and everything that may be done about it.

    `weights` are not normalised. `causes` are the ids of the fault cards, row by row (one card may have
    several rows). `first` tests come before anything else, in this order. `hand_on` is the minutes that
    handing the call on costs, None where it is not possible; what is still owed then, the repair that
    somebody must make anyway, comes to it: `owed` (F,), rule 6. `refused` are `first`
    tests that cannot be done on this job. `run_limit` is how many repairs fit one box, None for any.
    `identify`: nothing is repaired, the call is over once one fault alone is left (`solve` alone looks
    at it).
    """

    faults: tuple[str, ...]
    weights: Floats
    tests: tuple[Test, ...]
    repairs: tuple[Repair, ...]
    first: tuple[str, ...] = ()
    hand_on: float | None = None
    emergency: bool = False
    refused: tuple[str, ...] = ()
    run_limit: int | None = None
    identify: bool = False
    causes: tuple[str, ...] = ()
    owed: Floats = field(default_factory=lambda: frozen_array([]))
    stops: tuple[Stop, ...] = ()

    def __post_init__(self) -> None:
        if not self.causes:
            object.__setattr__(self, "causes", self.faults)
        if not len(self.owed):
            object.__setattr__(self, "owed", frozen_array(np.zeros(len(self.faults))))

    @cached_property
    def ending(self) -> Floats:
        """Minutes of handing on by fault, what is owed included, (F,); infinite where it is not possible."""
        return frozen_array(self.owed + (np.inf if self.hand_on is None else self.hand_on))

    @cached_property
    def stopping(self) -> Mapping[str, Mapping[str, frozenset[str]]]:
        """Test id → the outcomes of it that stop, each with the ids of the steps that are still allowed."""
        found: dict[str, dict[str, frozenset[str]]] = {}
        for stop in self.stops:
            outcomes = found.setdefault(stop.test, {})
            outcomes[stop.outcome] = stop.allows & outcomes.get(stop.outcome, stop.allows)
        return found

    @cached_property
    def cause_rows(self) -> Mapping[str, tuple[int, ...]]:
        """Fault card id → its rows."""
        found: dict[str, list[int]] = {}
        for row, cause in enumerate(self.causes):
            found.setdefault(cause, []).append(row)
        return {cause: tuple(rows) for cause, rows in found.items()}

    @cached_property
    def test_index(self) -> Mapping[str, int]:
        """Test id → its place in `tests`."""
        return {test.id: index for index, test in enumerate(self.tests)}

    @cached_property
    def repair_index(self) -> Mapping[str, int]:
        """Repair id → its place in `repairs`."""
        return {repair.id: index for index, repair in enumerate(self.repairs)}

    @cached_property
    def tables(self) -> Floats:
        """All tests' tables as one (T, O, F) array, padded with outcomes that never happen."""
        width = max((len(test.outcomes) for test in self.tests), default=0)
        stacked = np.zeros((len(self.tests), width, len(self.faults)))
        for index, test in enumerate(self.tests):
            stacked[index, : len(test.outcomes)] = test.table.T
        return frozen_array(stacked)

    @cached_property
    def outcome_rows(self) -> Floats:
        """P(outcome | fault) of every outcome of every test, (S, F); `outcome_places` tells whose it is."""
        return frozen_array(np.concatenate([*[test.table.T for test in self.tests], np.zeros((0, len(self.faults)))]))

    @cached_property
    def outcome_places(self) -> tuple[Places, Places]:
        """The test and the outcome of every row of `outcome_rows`, by place, (S,) both."""
        pairs = [(place, column) for place, test in enumerate(self.tests) for column in range(len(test.outcomes))]
        owners, columns = np.array(pairs, dtype=np.int_).reshape(-1, 2).T
        return owners, columns

    @cached_property
    def test_minutes(self) -> Floats:
        """The least that each test costs, (T,): what it costs when it waited together with another one."""
        least = (min(test.minutes, test.minutes_together) if test.together else test.minutes for test in self.tests)
        return frozen_array(list(least))

    @cached_property
    def ending_things(self) -> frozenset[str]:
        """The steps after which something else may no longer be possible: whose finding forbids or stops, that set
        a finding anew, or after which a test is worth nothing."""
        steps: list[Test | Repair] = [*self.tests, *self.repairs]
        forbidding = {name for step in steps for name in step.never_when}
        perishing = {name for test in self.tests for name in test.perishes_after}
        setting = {test.id for test in self.tests if test.renews} | {r.id for r in self.repairs if r.restore}
        return frozenset(forbidding | perishing | setting | self.stopping.keys())

    @cached_property
    def fixes(self) -> Floats:
        """P(cured | fault) of every repair, (R, F)."""
        rows = [repair.fixes for repair in self.repairs]
        return frozen_array(np.reshape(rows, (len(self.repairs), len(self.faults))))

    @cached_property
    def repair_minutes(self) -> Floats:
        """The repairs' minutes where they cure, (R,)."""
        return frozen_array([repair.minutes for repair in self.repairs])

    @cached_property
    def failed_minutes(self) -> Floats:
        """The repairs' minutes where they do not cure, (R,)."""
        return frozen_array([repair.failed_minutes for repair in self.repairs])

    @cached_property
    def least_minutes(self) -> Floats:
        """The least that each repair costs, cured or not, (R,)."""
        return np.minimum(self.repair_minutes, self.failed_minutes)

    @cached_property
    def repair_spent(self) -> Floats:
        """Expected minutes of each repair by fault, (R, F): what is paid is linear in the weights."""
        more = self.repair_minutes - self.failed_minutes
        return frozen_array(self.failed_minutes[:, None] + more[:, None] * self.fixes)

    @cached_property
    def saved(self) -> Floats:
        """What a repair done saves of handing on at most, by fault, (R, F); nothing where it cannot fix it."""
        more = np.maximum(self.ending - (self.repair_minutes - self.failed_minutes)[:, None], 0.0)
        return frozen_array(np.where(self.fixes > 0, self.fixes * more, 0.0))

    @cached_property
    def mending(self) -> NDArray[np.bool_]:
        """(R,): which repairs cure no fault in question and put an instrument right (rule 17)."""
        return np.array([bool(repair.restore) and not repair.fixes.any() for repair in self.repairs], dtype=np.bool_)

    @cached_property
    def by_others(self) -> NDArray[np.bool_]:
        """(R,): which repairs end the call with the cause named."""
        return np.array([repair.by_other for repair in self.repairs], dtype=np.bool_)

    @cached_property
    def stubborn(self) -> Floats:
        """P(no repair at all cures | fault), (F,)."""
        return frozen_array(np.prod(1 - self.fixes, axis=0))

    @cached_property
    def floor(self) -> Floats:
        """Minutes that are paid at least, whatever is done, (F,): the cheapest repair that can fix the
        fault, or handing on where that is cheaper; infinite where neither is possible."""
        cures = np.where(self.fixes > 0, self.repair_minutes[:, None], np.inf)
        return frozen_array(np.minimum(cures.min(axis=0, initial=np.inf), self.ending))

    @cached_property
    def disjoint(self) -> bool:
        """True where no fault has two repairs.

        The order of repairs by probability over minutes then never changes on the way, so that the
        best run is found by sorting (`leaf.py`).
        """
        return bool(((self.fixes > 0).sum(axis=0) <= 1).all())

    @cached_property
    def kin(self) -> tuple[tuple[Places, Places], ...]:
        """Repairs that share a fault, by groups that share none with each other: their places, and their faults'."""
        groups: list[tuple[set[int], set[int]]] = []
        for repair, row in enumerate(self.fixes > 0):
            faults = set(np.flatnonzero(row).tolist())
            repairs = {repair}
            for group in [group for group in groups if group[1] & faults]:
                groups.remove(group)
                repairs, faults = repairs | group[0], faults | group[1]
            groups.append((repairs, faults))
        several = [group for group in groups if len(group[0]) > 1]
        return tuple((np.array(sorted(repairs)), np.array(sorted(faults))) for repairs, faults in several)

    @cached_property
    def forbidding(self) -> NDArray[np.bool_]:
        """(R, R): True where what the first repair sets, when it did not cure, forbids the second, which may cure.

        What a repair sets may also allow others; runs of repairs leave that to the searches.
        """
        rows = [
            [
                bool(other.fixes.any()) and any(self._forbids(*found, other) for found in repair.restore.items())
                for other in self.repairs
            ]
            for repair in self.repairs
        ]
        return np.reshape(np.array(rows, dtype=np.bool_), (len(self.repairs), len(self.repairs)))

    @cached_property
    def restoring(self) -> bool:
        """True where some repair forbids another, so that runs must look at it."""
        return bool(self.forbidding.any())

    def _forbids(self, test: str, seen: str, repair: Repair) -> bool:
        if seen in repair.never_when.get(test, ()) or seen not in repair.needs.get(test, {seen}):
            return True
        return repair.id not in self.stopping.get(test, {}).get(seen, {repair.id})

    @cached_property
    def gates(self) -> Mapping[str, tuple[int, ...]]:
        """Test id → the repairs that its finding may allow or forbid: those whose `needs` or `never_when`
        look at it or at a test that it renews; stops aside."""
        found: dict[str, set[int]] = {}
        for index, repair in enumerate(self.repairs):
            for test in (*repair.needs, *repair.never_when):
                found.setdefault(test, set()).add(index)
        for card in self.tests:
            for other in {name for new in card.renews.values() for name in new}:
                found.setdefault(card.id, set()).update(found.get(other, ()))
        return {test: tuple(sorted(indices)) for test, indices in sorted(found.items()) if indices}

    @cached_property
    def gating(self) -> frozenset[str]:
        """The tests whose finding decides what may be repaired: gates, stops, and what renews a stop."""
        renewing = (test.id for test in self.tests for new in test.renews.values() if self.stopping.keys() & new.keys())
        return frozenset((*self.gates, *self.stopping, *renewing))


def one_of(conditions: Mapping[str, str | tuple[str, ...]]) -> Conditions:
    """Conditions from plain words: an outcome, or several of which any will do."""
    return {test: frozenset([wanted] if isinstance(wanted, str) else wanted) for test, wanted in conditions.items()}


def cycles(needs: Mapping[str, Conditions]) -> Iterator[tuple[str, ...]]:
    """Every test that needs itself in the end, with the way back to itself, by id.

    Follows each test's needs depth first; O(tests × needs).
    """
    for start in sorted(needs):
        trail = _way_back(start, needs)
        if trail and start == min(trail):
            yield trail


def _way_back(start: str, needs: Mapping[str, Conditions]) -> tuple[str, ...]:
    seen: set[str] = set()
    stack: list[tuple[str, ...]] = [(start,)]
    while stack:
        trail = stack.pop()
        for target in sorted(needs.get(trail[-1], {}), reverse=True):
            if target == start:
                return (*trail, start)
            if target not in seen:
                seen.add(target)
                stack.append((*trail, target))
    return ()
