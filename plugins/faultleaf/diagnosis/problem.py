"""The problem: faults with weights, tests and repairs with minutes, as read-only numpy arrays.

Everything the engine knows about a call stands in one frozen `Problem`. It comes from cards
(`compile.py`) or from a problem file (`problem_file.py`); nothing after it looks at either again.
One fault at a time: the faults exclude each other and one of them is there. The last one may be
`unlisted`, the share of calls whose cause no card names.
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

    `minutes` is the whole cost. `otherwise[o]` is what is seen when no named fault is there.
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


@dataclass(frozen=True, eq=False)
class Repair:
    """What removes faults: `fixes[f]` is P(cured | fault f), `minutes` the whole cost, proof included.

    `fault` is the fault it belongs to. `restore` is what is found afterwards where it did not cure.
    `retake` are the tests whose findings stop counting once it was done (a second fault may be there).
    """

    id: str
    fault: str
    minutes: float
    fixes: Floats
    needs: Conditions = field(default_factory=dict)
    never_when: Conditions = field(default_factory=dict)
    restore: Mapping[str, str] = field(default_factory=dict)
    who: str = "owner"
    retake: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Problem:
    """One call: who may be to blame with what weight, and everything that may be done about it.

    `weights` are not normalised. `first` tests come before anything else, in this order. `hand_on` is
    the minutes that handing the call on costs, None where it is not possible. `refused` are `first`
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
        """The tests' minutes, (T,)."""
        return frozen_array([test.minutes for test in self.tests])

    @cached_property
    def fixes(self) -> Floats:
        """P(cured | fault) of every repair, (R, F)."""
        rows = [repair.fixes for repair in self.repairs]
        return frozen_array(np.reshape(rows, (len(self.repairs), len(self.faults))))

    @cached_property
    def repair_minutes(self) -> Floats:
        """The repairs' minutes, (R,)."""
        return frozen_array([repair.minutes for repair in self.repairs])

    @cached_property
    def stubborn(self) -> Floats:
        """P(no repair at all cures | fault), (F,)."""
        return frozen_array(np.prod(1 - self.fixes, axis=0))

    @cached_property
    def floor(self) -> Floats:
        """Minutes that are paid at least, whatever is done, (F,): the cheapest repair that can fix the
        fault, or handing on where that is cheaper; infinite where neither is possible."""
        cures = np.where(self.fixes > 0, self.repair_minutes[:, None], np.inf)
        return frozen_array(cures.min(axis=0, initial=np.inf if self.hand_on is None else self.hand_on))

    @cached_property
    def one_to_one(self) -> bool:
        """True where every repair fixes one fault and no fault has two repairs.

        The order of repairs by probability over minutes then never changes on the way, so that the
        best run is found by sorting (`leaf.py`).
        """
        fixed = self.fixes > 0
        return bool((fixed.sum(axis=1) <= 1).all() and (fixed.sum(axis=0) <= 1).all())

    @cached_property
    def owners(self) -> tuple[Places, Floats]:
        """The place of the fault that each repair fixes best, and its P(cured), (R,) both."""
        return self.fixes.argmax(axis=1), self.fixes.max(axis=1)

    @cached_property
    def restoring(self) -> bool:
        """True where some repair sets a finding that another repair's conditions look at."""
        return any(test in self.gates for repair in self.repairs for test in repair.restore)

    @cached_property
    def gates(self) -> Mapping[str, tuple[int, ...]]:
        """Test id → the repairs whose `needs` or `never_when` look at its finding."""
        found: dict[str, list[int]] = {}
        for index, repair in enumerate(self.repairs):
            for test in sorted({*repair.needs, *repair.never_when}):
                found.setdefault(test, []).append(index)
        return {test: tuple(indices) for test, indices in found.items()}


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
