"""One look ahead: every step that may be taken from a state, and an estimate of what follows it.

*Estimate* of a belief: Σ w·r + min(what the best run of repairs costs beyond that, κ·W·H). r is the
least that each fault costs, H the entropy in bits, W the weight and κ the price of the cheapest bit at
hand: a test's minutes over the bits it tells now. The first term of the min is what is paid without
further tests, the second what telling the causes apart would cost if every bit stayed as cheap.
"""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from faultleaf.diagnosis.model.problem import HAND_ON, Floats, Places, Problem
from faultleaf.diagnosis.model.state import (
    State,
    after_failed,
    after_test,
    due_first,
    minutes_of_test,
    open_repairs,
    open_tests,
)
from faultleaf.diagnosis.step.leaf import Mask, best_run, leaf_values, may_be_named
from faultleaf.diagnosis.step.steps import Choice, gated_after

LEAST_BITS = 1e-9
"""A test that tells less than this tells nothing."""
TINY = 1e-300
NEAR = 1e-7
"""Scores farther apart than this share of them are not equal to 9 digits."""


def bits(weights: Floats) -> Floats:
    """W·H: weight × entropy in bits along the last axis.

    >>> float(bits(np.array([2.0, 2.0])))
    4.0
    """
    total = weights.sum(axis=-1)
    each = (weights * np.log2(np.maximum(weights, TINY))).sum(axis=-1)
    return np.asarray(np.maximum(total * np.log2(np.maximum(total, TINY)) - each, 0.0))


Place = tuple[int, int]
"""The row of a step and the column of its outcome."""


@dataclass(frozen=True, eq=False)
class Look:
    """Every step that may be taken from a state, and what an estimate after it is made of.

    Rows are the `tests` and `repairs`, by their place in the problem, and handing on where the call `ends` there.
    All in minutes × weight or bits × weight: `spent` (steps,) on the step itself; (steps, outcomes) `runs`
    of the best run of repairs after each outcome, `floors` of Σ w·r, `doubts` of W·H. `price` is κ.
    """

    problem: Problem
    state: State
    tests: list[int]
    repairs: list[int]
    ends: bool
    spent: Floats
    runs: Floats
    floors: Floats
    doubts: Floats
    price: float

    @cached_property
    def choices(self) -> tuple[Choice, ...]:
        """The steps, row by row."""
        found = [Choice("test", place, self.problem.tests[place].id) for place in self.tests]
        found += [Choice("repair", place, self.problem.repairs[place].id) for place in self.repairs]
        return (*found, *[Choice("hand-on", -1, HAND_ON)] * self.ends)

    def scores(self, trust: float) -> Floats:
        """Minutes × weight of each step with the estimates after it, κ taken `trust` times, (steps,)."""
        if not self.price < np.inf:
            return np.asarray(self.spent + self.runs.sum(axis=1))
        likely = np.minimum(self.runs, self.floors + trust * self.price * self.doubts)
        return np.asarray(self.spent + likely.sum(axis=1))

    def ranked(self, scores: Floats) -> list[int]:
        """The rows, the least score first (rule 13); only what could be equal to 9 digits is rounded."""
        order: list[int] = np.argsort(scores, kind="stable").tolist()
        least = scores[order]
        with np.errstate(invalid="ignore"):
            breaks = np.flatnonzero(~(least[1:] <= least[:-1] * (1 + NEAR))) + 1
        if len(breaks) + 1 >= len(order):
            return order
        groups = (order[start:end] for start, end in pairwise([0, *breaks.tolist(), len(order)]))
        return [row for group in groups for row in self._exactly(group, scores)]

    def best(self, trust: float) -> int | None:
        """The row of the best step by estimate, None where nothing can be done."""
        scores = self.scores(trust)
        if not len(scores):
            return None
        near: list[int] = np.flatnonzero(scores <= scores.min() * (1 + NEAR)).tolist()
        return self._exactly(near, scores)[0]

    def _exactly(self, rows: list[int], scores: Floats) -> list[int]:
        return rows if len(rows) == 1 else sorted(rows, key=lambda row: self.choices[row].order(float(scores[row])))


def look(problem: Problem, state: State) -> Look:
    """What may be done from this state, one step ahead; only the due test while `first` tests wait.

    O(outcomes of all tests × faults) beside the runs of repairs, numpy over all at once.
    """
    due = due_first(problem, state)
    tests = open_tests(problem, state) if due is None else [due]
    free = np.zeros(len(problem.repairs), dtype=np.bool_)
    free[open_repairs(problem, state) if due is None else []] = True
    repairs: list[int] = np.flatnonzero(free & worth_doing(problem, state.weights)).tolist()
    ends = due is None and problem.hand_on is not None
    paid = np.array([minutes_of_test(problem, state, test) for test in tests], dtype=np.float64) * state.total
    handing_on = [float(state.weights @ problem.ending)] if ends else []
    spent = np.concatenate([paid, problem.repair_spent[repairs] @ state.weights, handing_on])
    after = _after(problem, state, tests, repairs)
    if due is not None:
        runs = _runs_one_by_one(problem, state, after)
    else:
        runs = leaf_values(problem, after.beliefs, _allowed(problem, state, free, after))[0]
    shape = (len(spent), problem.tables.shape[1] or 1)
    floors = after.beliefs @ np.where(problem.weights > 0, problem.floor, 0.0)
    doubts = after.spread(shape, bits(after.beliefs))
    price = np.inf if due is not None else _cheapest_bit(state, spent[: len(tests)], doubts[: len(tests)])
    values = (after.spread(shape, runs), after.spread(shape, floors), doubts)
    return Look(problem, state, tests, repairs, ends, spent, *values, price)


def worth_doing(problem: Problem, weights: Floats) -> Mask:
    """(R,): the repairs that may cure something and, where others do them, are likely enough to be named; and
    those that put an instrument right, which cure nothing themselves."""
    cures = (problem.fixes @ weights > 0) & may_be_named(problem, weights)
    return np.asarray(cures | problem.mending)


@dataclass(frozen=True, eq=False)
class After:
    """What follows every outcome of every step: `beliefs` (N, F) weights, the step's row, the outcome's column,
    the step's place in the problem and whether it is a test, each (N,)."""

    beliefs: Floats
    rows: Places
    columns: Places
    places: Places
    tests: Mask

    def spread(self, shape: tuple[int, int], values: Floats) -> Floats:
        """Values of the beliefs as (steps, outcomes), 0 where there is no outcome."""
        table = np.zeros(shape)
        table[self.rows, self.columns] = values
        return table


def _after(problem: Problem, state: State, tests: list[int], repairs: list[int]) -> After:
    row_of = np.full(len(problem.tests), -1)
    row_of[tests] = np.arange(len(tests))
    owners, columns = problem.outcome_places
    picked = np.flatnonzero(row_of[owners] >= 0)
    tested, count = len(picked), len(picked) + len(repairs)
    beliefs = np.empty((count, len(problem.faults)))
    np.multiply(problem.outcome_rows[picked], state.weights, out=beliefs[:tested])
    np.multiply(1 - problem.fixes[repairs], state.weights, out=beliefs[tested:])
    rows = np.concatenate([row_of[owners[picked]], np.arange(len(tests), len(tests) + len(repairs))])
    places = np.concatenate([owners[picked], np.array(repairs, dtype=np.int_)])
    columns = np.concatenate([columns[picked], np.zeros(len(repairs), dtype=np.int_)])
    return After(beliefs, rows, columns, places, np.arange(count) < tested)


def _allowed(problem: Problem, state: State, free: Mask, after: After) -> Mask:
    """(N, R): which repairs may be done after each outcome of each step."""
    allowed = np.tile(free, (len(after.beliefs), 1))
    done = np.flatnonzero(~after.tests)
    allowed[done, after.places[done]] = False
    for row in done.tolist():
        place = int(after.places[row])
        new = problem.repairs[place].restore.items()
        if any(test in problem.gating and state.known.get(test) != frozenset({seen}) for test, seen in new):
            allowed[row] = False
            allowed[row, open_repairs(problem, after_failed(problem, state, place))] = True
    gating = [problem.test_index[test] for test in sorted(problem.gating) if test in problem.test_index]
    for row in np.flatnonzero(after.tests & np.isin(after.places, gating)).tolist() if gating else ():
        place = int(after.places[row])
        outcome = problem.tests[place].outcomes[after.columns[row]]
        allowed[row] = gated_after(problem, state, free, place, outcome)
    return allowed


def _runs_one_by_one(problem: Problem, state: State, after: After) -> Floats:
    """The runs after each step where others of the `first` tests come before any repair."""
    steps = zip(after.places.tolist(), after.columns.tolist(), after.tests.tolist(), strict=True)
    states = (
        after_test(problem, state, place, (column,)) if test else after_failed(problem, state, place)
        for place, column, test in steps
    )
    return np.array([run_minutes(problem, each) for each in states])


def _cheapest_bit(state: State, spent: Floats, doubts: Floats) -> float:
    """κ: minutes per bit of the test that tells most for its minutes now; infinite where none tells."""
    told = bits(state.weights) - doubts.sum(axis=1)
    telling = told > LEAST_BITS * state.total
    return float((spent[telling] / told[telling]).min(initial=np.inf))


def after_outcome(problem: Problem, seen: Look, place: Place) -> State:
    """The state after a step's outcome."""
    choice = seen.choices[place[0]]
    if choice.kind == "repair":
        return after_failed(problem, seen.state, choice.place)
    return after_test(problem, seen.state, choice.place, (place[1],))


def followers(problem: Problem, state: State, choice: Choice) -> list[State]:
    """The states that a step leads to, without those that nobody comes to."""
    if choice.kind == "hand-on":
        return []
    if choice.kind == "repair":
        after = [after_failed(problem, state, choice.place)]
    else:
        outcomes = range(len(problem.tests[choice.place].outcomes))
        after = [after_test(problem, state, choice.place, (column,)) for column in outcomes]
    return [each for each in after if each.total > 0]


def step_spent(problem: Problem, state: State, choice: Choice) -> float:
    """What the step itself costs, minutes × weight; handing on with what is owed then."""
    if choice.kind == "test":
        return minutes_of_test(problem, state, choice.place) * state.total
    if choice.kind == "repair":
        return float(problem.repair_spent[choice.place] @ state.weights)
    return float(state.weights @ problem.ending)


def run_minutes(problem: Problem, state: State) -> float:
    """Minutes × weight of the best run of repairs; what comes `first` is done first."""
    if not state.total > 0:
        return 0.0
    due = due_first(problem, state)
    if due is None:
        return best_run(problem, state)[1]
    after = (after_test(problem, state, due, (column,)) for column in range(len(problem.tests[due].outcomes)))
    rest = sum(run_minutes(problem, each) for each in after)
    return minutes_of_test(problem, state, due) * state.total + rest
