"""One look ahead: every step that may be taken from a state, and an estimate of what follows it.

*Estimate* of a belief: Σ w·r + min(what the best run of repairs costs beyond that, κ·W·H). r is the
least that each fault costs, H the entropy in bits, W the weight and κ the price of the cheapest bit at
hand: a test's minutes over the bits it tells now. The first term of the min is what is paid without
further tests, the second what telling the causes apart would cost if every bit stayed as cheap.
"""

from dataclasses import dataclass

import numpy as np

from faultleaf.diagnosis.leaf import Mask, best_run, leaf_values
from faultleaf.diagnosis.problem import HAND_ON, Floats, Problem
from faultleaf.diagnosis.state import State, after_failed, after_test, due_first, open_repairs, open_tests
from faultleaf.diagnosis.steps import Choice, look_ahead

LEAST_BITS = 1e-9
"""A test that tells less than this tells nothing."""


def bits(weights: Floats) -> Floats:
    """W·H: weight × entropy in bits along the last axis.

    >>> float(bits(np.array([2.0, 2.0])))
    4.0
    """
    total = weights.sum(axis=-1, keepdims=True)
    safe = np.where(weights > 0, weights, 1.0)
    return np.asarray((weights * np.log2(np.where(total > 0, total, 1.0) / safe)).sum(axis=-1))


Place = tuple[int, int]
"""The row of a step and the column of its outcome."""


@dataclass(frozen=True, eq=False)
class Look:
    """Every step that may be taken from a state, and what an estimate after it is made of.

    All in minutes × weight or bits × weight: `spent` (steps,) on the step itself; (steps, outcomes) `runs`
    of the best run of repairs after each outcome, `floors` of Σ w·r, `doubts` of W·H. `price` is κ.
    """

    state: State
    choices: tuple[Choice, ...]
    spent: Floats
    runs: Floats
    floors: Floats
    doubts: Floats
    price: float

    def scores(self, trust: float) -> Floats:
        """Minutes × weight of each step with the estimates after it, κ taken `trust` times, (steps,)."""
        if not self.price < np.inf:
            return np.asarray(self.spent + self.runs.sum(axis=1))
        likely = np.minimum(self.runs, self.floors + trust * self.price * self.doubts)
        return np.asarray(self.spent + likely.sum(axis=1))

    def ranked(self, scores: Floats) -> list[int]:
        """The rows of the steps, the least score first (rule 13)."""
        orders = [choice.order(float(score)) for score, choice in zip(scores, self.choices, strict=True)]
        return sorted(range(len(orders)), key=orders.__getitem__)

    def best(self, trust: float) -> int | None:
        """The row of the best step by estimate, None where nothing can be done."""
        if not self.choices:
            return None
        scores = self.scores(trust)
        # Only what could be equal to 9 digits is rounded.
        near = np.flatnonzero(scores <= scores.min() * (1 + 1e-7))
        return int(min(near, key=lambda row: self.choices[row].order(float(scores[row]))))


def look(problem: Problem, state: State) -> Look:
    """What may be done from this state, one step ahead; only the due test while `first` tests wait.

    O(tests × outcomes × faults) beside the runs of repairs, numpy over all at once.
    """
    due = due_first(problem, state)
    tests = open_tests(problem, state) if due is None else [due]
    free = np.zeros(len(problem.repairs), dtype=np.bool_)
    free[open_repairs(problem, state) if due is None else []] = True
    repairs = [int(place) for place in np.flatnonzero(free & (problem.fixes @ state.weights > 0))]
    ends = due is None and problem.hand_on is not None
    width = max(problem.tables.shape[1], 1)
    after = np.zeros((len(tests) + len(repairs) + ends, width, len(problem.faults)))
    after[: len(tests), : problem.tables.shape[1]] = state.weights * problem.tables[tests]
    after[len(tests) : len(tests) + len(repairs), 0] = state.weights * (1 - problem.fixes[repairs])
    minutes = [*problem.test_minutes[tests], *problem.repair_minutes[repairs], *[problem.hand_on or 0.0] * ends]
    runs = np.zeros(after.shape[:2])
    if due is not None or problem.restoring:
        _runs_one_by_one(problem, state, tests, repairs, runs)
    else:
        if tests:
            runs[: len(tests), : problem.tables.shape[1]] = look_ahead(
                problem, [(state, test) for test in tests]
            ).values
        rows = slice(len(tests), len(tests) + len(repairs))
        runs[rows, 0] = _runs_after(problem, after[rows, 0], free, repairs)
    doubts = bits(after)
    spent = np.array(minutes, dtype=np.float64) * state.total
    choices = _choices(problem, tests, repairs, ends)
    price = np.inf if due is not None else _cheapest_bit(state, spent[: len(tests)], doubts[: len(tests)])
    return Look(state, choices, spent, runs, after @ np.where(problem.weights > 0, problem.floor, 0.0), doubts, price)


def _choices(problem: Problem, tests: list[int], repairs: list[int], ends: bool) -> tuple[Choice, ...]:
    found = [Choice("test", place, problem.tests[place].id) for place in tests]
    found += [Choice("repair", place, problem.repairs[place].id) for place in repairs]
    return (*found, *[Choice("hand-on", -1, HAND_ON)] * ends)


def _runs_after(problem: Problem, left: Floats, free: Mask, repairs: list[int]) -> Floats:
    """Minutes × weight of the best run after each of these repairs did not cure."""
    allowed = np.tile(free, (len(repairs), 1))
    allowed[np.arange(len(repairs)), repairs] = False
    return leaf_values(problem, left, allowed)[0]


def _runs_one_by_one(problem: Problem, state: State, tests: list[int], repairs: list[int], runs: Floats) -> None:
    """The runs after each step where what was found before changes what may be done after."""
    for row, test in enumerate(tests):
        for column in range(len(problem.tests[test].outcomes)):
            runs[row, column] = run_minutes(problem, after_test(problem, state, test, (column,)))
    for row, repair in enumerate(repairs, len(tests)):
        runs[row, 0] = run_minutes(problem, after_failed(problem, state, repair))


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


def step_minutes(problem: Problem, choice: Choice) -> float:
    """What the step itself costs."""
    if choice.kind == "test":
        return problem.tests[choice.place].minutes
    return problem.repairs[choice.place].minutes if choice.kind == "repair" else problem.hand_on or 0.0


def run_minutes(problem: Problem, state: State) -> float:
    """Minutes × weight of the best run of repairs; what comes `first` is done first."""
    if not state.total > 0:
        return 0.0
    due = due_first(problem, state)
    if due is None:
        return best_run(problem, state)[1]
    after = (after_test(problem, state, due, (column,)) for column in range(len(problem.tests[due].outcomes)))
    rest = sum(run_minutes(problem, each) for each in after)
    return problem.tests[due].minutes * state.total + rest
