"""Lower bounds: each alone below the optimum that exhaustive recursion finds, at every state on the way."""

import random
from collections.abc import Iterator

import numpy as np
import pytest
from faultleaf.diagnosis import Problem, ProblemError, parse_problem
from faultleaf.diagnosis.bounds import (
    bounds_of,
    divergences,
    entropy,
    entropy_bound,
    known_fault_minutes,
    pair_bound,
    sharper_surplus,
)
from faultleaf.diagnosis.state import State, after_failed, after_test, due_first, open_repairs, open_tests, start_state

from tests.diagnosis.brute import Policy
from tests.diagnosis.problems import exact, messy, unsteady


def walked(problem: Problem, draw: random.Random, steps: int = 3) -> Iterator[State]:
    """The start and the states of a random way from it."""
    state = start_state(problem)
    for _ in range(steps):
        yield state
        due = due_first(problem, state)
        tests = open_tests(problem, state) if due is None else [due]
        repairs = open_repairs(problem, state) if due is None else []
        ways = [after_test(problem, state, t, (o,)) for t in tests for o in range(len(problem.tests[t].outcomes))]
        ways += [after_failed(problem, state, repair) for repair in repairs]
        ways = [way for way in ways if way.total > 1e-9]
        if not ways:
            return
        state = draw.choice(ways)


@pytest.mark.parametrize("seed", range(120))
def test_every_bound_stays_below_the_optimum(seed: int) -> None:
    data = unsteady(seed) if seed % 3 == 0 else messy(seed, 3, 3)
    try:
        problem = parse_problem(data)
    except ProblemError:
        data = messy(seed + 10_000, 2, 2)
        problem = parse_problem(data)
    bounds, policy = bounds_of(problem), Policy(data)
    for state in walked(problem, random.Random(seed)):
        known = {name: next(iter(seen)) for name, seen in state.known.items()}
        optimum = policy.value(list(state.weights), known, state.tried) / state.total + 1e-9
        belief = state.weights / state.total
        left = np.array([test.id not in state.known for test in problem.tests])
        free = np.array([repair.id not in state.tried for repair in problem.repairs])
        floor = known_fault_minutes(bounds, free[None])[0]
        assert float(belief @ np.where(belief > 0, floor, 0)) <= optimum
        assert pair_bound(bounds, belief, left, free) <= optimum
        for surplus in (bounds.surplus[:, left], sharper_surplus(bounds, belief, left)):
            found = entropy_bound(bounds, belief[None], surplus.sum(axis=1)[None], free[None])
            assert float(found[0]) <= optimum


def test_the_capacity_of_a_symmetric_channel() -> None:
    # C. E. Shannon 1948: a binary symmetric channel with error e carries 1 - h(e) bits.
    problem = parse_problem(exact((3, 1), (9, 9), [({0}, 1)], noise=0.1))
    far = divergences(problem.tables, np.array([True, True]))
    carried = 1 - float(entropy(np.array([[0.9, 0.1]]))[0])
    assert far[0] == pytest.approx([carried, carried], abs=1e-6)


def test_two_faults_and_one_sure_test_are_bounded_exactly_by_their_pair() -> None:
    problem = parse_problem(exact((9, 1), (100, 100), [({0}, 5)]))
    found = pair_bound(bounds_of(problem), np.array([0.9, 0.1]), np.array([True]), np.array([True, True]))
    assert found == pytest.approx(105)


def test_bits_are_paid_by_the_cheapest_test_where_repairs_are_dear() -> None:
    # Eight equal faults, sure tests of 1 min that halve them: 3 bits cost 3 min at least.
    halves = [({f for f in range(8) if f >> bit & 1}, 1) for bit in range(3)]
    problem = parse_problem(exact([1] * 8, [1000] * 8, halves))
    bounds = bounds_of(problem)
    left, free = np.ones(3, dtype=np.bool_), np.ones((1, 8), dtype=np.bool_)
    belief = np.full(8, 1 / 8)
    surplus = sharper_surplus(bounds, belief, left).sum(axis=1)
    found = float(entropy_bound(bounds, belief[None], surplus[None], free)[0])
    assert 1002 < found <= 1003 + 1e-9
