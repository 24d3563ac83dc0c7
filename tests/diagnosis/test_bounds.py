"""Lower bounds: each alone below the optimum that exhaustive recursion finds, at every state on the way."""

import random
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from faultleaf.diagnosis import Problem, ProblemError, compile_problem, parse_problem, solve
from faultleaf.diagnosis.model.state import (
    State,
    after_failed,
    after_test,
    due_first,
    open_repairs,
    open_tests,
    start_state,
)
from faultleaf.diagnosis.proof.bounds import (
    bounds_of,
    divergences,
    entropy,
    entropy_bound,
    known_fault_minutes,
    pair_bound,
    pair_table,
    sharper_surplus,
)
from faultleaf.diagnosis.proof.odds import RISE, WIDE, odds_of
from faultleaf.diagnosis.proof.search import Search
from faultleaf.intake import Layer, read_library

from tests.diagnosis.brute import Policy, best_order
from tests.diagnosis.problems import exact, messy, row, unsteady

SHIPPED = read_library([Layer(Path(__file__).parents[2] / "content", "content")]).readable


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


def drawn(seed: int) -> tuple[Problem, Policy]:
    """A random problem with everything in it, or without handing on, and its exhaustive recursion."""
    data = unsteady(seed) if seed % 3 == 0 else messy(seed, 3, 3)
    try:
        return parse_problem(data), Policy(data)
    except ProblemError:
        data = messy(seed + 10_000, 2, 2)  # this one asks for what nobody can meet
        return parse_problem(data), Policy(data)


def optimum_of(policy: Policy, state: State) -> float:
    """Minutes × weight of the best policy from a state."""
    known = {name: next(iter(seen)) for name, seen in state.known.items()}
    return policy.value(list(state.weights), known, state.tried)


def base_of(problem: Problem, state: State, free: np.ndarray) -> float:
    """Minutes × weight that are paid once each fault is known."""
    floor = known_fault_minutes(bounds_of(problem), free[None])[0]
    return float(state.weights @ np.where(state.weights > 0, floor, 0.0))


@pytest.mark.parametrize("seed", range(120))
def test_every_bound_stays_below_the_optimum(seed: int) -> None:
    problem, policy = drawn(seed)
    bounds = bounds_of(problem)
    for state in walked(problem, random.Random(seed)):
        optimum = optimum_of(policy, state) / state.total + 1e-9
        belief = state.weights / state.total
        left = np.array([test.id not in state.known for test in problem.tests])
        free = np.array([repair.id not in state.tried for repair in problem.repairs])
        floor = known_fault_minutes(bounds, free[None])[0]
        assert float(belief @ np.where(belief > 0, floor, 0)) <= optimum
        assert pair_bound(bounds, belief, left, free) <= optimum
        for surplus in (bounds.surplus[:, left], sharper_surplus(bounds, belief, left)):
            found = entropy_bound(bounds, belief[None], surplus.sum(axis=1)[None], free[None])
            assert float(found[0]) <= optimum


@pytest.mark.parametrize("seed", range(120))
def test_what_the_pairs_pay_after_a_step_stays_below_the_optimum(seed: int) -> None:
    problem, policy = drawn(seed)
    bounds = bounds_of(problem)
    for state in walked(problem, random.Random(seed), 2):
        left = np.array([test.id not in state.known for test in problem.tests])
        free = np.array([repair.id not in state.tried for repair in problem.repairs])
        table = pair_table(bounds, state.weights / state.total, left, free)[1]
        if table is None or due_first(problem, state) is not None:
            continue
        tests, repairs = np.array(open_tests(problem, state), dtype=np.int_), open_repairs(problem, state)
        pays = table.after_tests(bounds.odds, tests) * state.total
        for place, test in enumerate(tests):
            for column in range(len(problem.tests[test].outcomes)):
                after = after_test(problem, state, int(test), (column,))
                assert base_of(problem, after, free) + pays[place, column] <= optimum_of(policy, after) + 1e-9
        for repair, paid in zip(repairs, table.after_repairs(problem.fixes[repairs] > 0) * state.total, strict=True):
            others = free & (np.arange(len(free)) != repair)
            after = after_failed(problem, state, repair)
            assert base_of(problem, after, others) + paid <= optimum_of(policy, after) + 1e-9


@pytest.mark.parametrize("hand_on", [None, 70.0])
@pytest.mark.parametrize("seed", range(10))
def test_without_tests_the_pairs_pay_what_the_best_order_costs(seed: int, hand_on: float | None) -> None:
    draw = random.Random(seed)
    weights, minutes = row(draw, 5), [draw.uniform(5, 60) for _ in range(5)]
    problem = parse_problem(exact(weights, minutes, hand_on=hand_on))
    found = pair_bound(bounds_of(problem), problem.weights / problem.weights.sum(), np.zeros(0, bool), np.ones(5, bool))
    optimum = best_order(weights, minutes, hand_on)
    if hand_on is None:
        assert found == pytest.approx(optimum, rel=1e-9)
    else:
        assert 0.85 * optimum <= found <= optimum + 1e-9


@pytest.mark.parametrize("seed", range(10))
def test_of_two_faults_and_noisy_tests_most_is_seen(seed: int) -> None:
    draw = random.Random(seed)
    tests = [({0}, draw.uniform(3, 25)) for _ in range(4)]
    data = exact(row(draw, 2), (100, 80), tests, noise=draw.uniform(0.05, 0.25))
    problem = parse_problem(data)
    belief = problem.weights / problem.weights.sum()
    base, optimum = float(belief @ [100, 80]), Policy(data).optimum()
    found = pair_bound(bounds_of(problem), belief, np.ones(4, bool), np.ones(2, bool))
    assert 0.75 * (optimum - base) <= found - base <= optimum - base + 1e-9


def test_an_outcome_takes_a_ray_to_two_rays_of_the_grid() -> None:
    tables = np.array([[[0.9, 0.3], [0.1, 0.7]]])
    odds = odds_of(tables)
    for outcome in range(2):
        before = odds.place[0, outcome, 0, 1] + WIDE
        parts = odds.low[0, outcome, 0, 1], odds.high[0, outcome, 0, 1]
        for rays, fault in ((RISE, 0), (1 / RISE, 1)):
            assert parts @ rays[before : before + 2] == pytest.approx(tables[0, outcome, fault], rel=1e-12)


@pytest.mark.parametrize(
    ("symptom", "variant"),
    [(name, list(card.variants)[-1]) for name, card in SHIPPED.symptoms.items() if card.variants],
)
def test_no_bound_of_a_shipped_chart_lies_above_a_plan(symptom: str, variant: str) -> None:
    problem = compile_problem(SHIPPED, [symptom], equipment=SHIPPED.symptoms[symptom].variants[variant])
    start = start_state(problem)
    belief, left = start.weights / start.total, np.array([test.offered for test in problem.tests])
    free = np.ones(len(problem.repairs), dtype=np.bool_)
    surplus = sharper_surplus(bounds_of(problem), belief, left).sum(axis=1)
    bits = float(entropy_bound(bounds_of(problem), belief[None], surplus[None], free[None])[0])
    pairs = pair_bound(bounds_of(problem), belief, left, free)
    # The search tells the better of the two; its root is below every plan after some states as well.
    search = Search(problem)
    root = search.spot(start)
    assert root.low == pytest.approx(max(bits, pairs), rel=1e-12)
    for _ in range(5):
        search.trial(root)
    assert max(bits, pairs) <= root.low <= solve(problem, 0, 60).expected_minutes


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
