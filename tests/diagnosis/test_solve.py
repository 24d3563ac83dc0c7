"""The cheapest plan without a box budget: against exhaustive recursion, laws, worked examples."""

import random

import pytest
from faultleaf.diagnosis import (
    Problem,
    ProblemError,
    Solution,
    believe,
    evaluate_plan,
    lower_bound,
    next_step,
    parse_problem,
    solve,
)
from faultleaf.diagnosis.chart.tree import PlanError
from faultleaf.diagnosis.step.policy import rolled_steps

from tests.counts import one_in
from tests.diagnosis.all_rules import with_all_rules
from tests.diagnosis.brute import Policy
from tests.diagnosis.problems import exact, messy, unsteady

SIZES = {False: (3, 2), True: (4, 3)}


def rolled(problem: Problem) -> float:
    """Minutes of the policy's first step and what it goes on with."""
    return rolled_steps(problem, believe(problem, {}).state)[0][0]


def check(problem: Problem, optimum: float) -> Solution:
    """Bounds on both sides of the optimum, however little was opened, and a plan that costs what it says."""
    for states in (0, 2, 5000):
        found = solve(problem, states)
        assert found.lower_bound <= optimum * (1 + 1e-9)
        assert found.expected_minutes >= optimum * (1 - 1e-9)
        assert found.plan is not None
        assert evaluate_plan(problem, found.plan) == pytest.approx(found.expected_minutes, rel=1e-9)
    assert found.proved_optimal
    return found


@pytest.mark.parametrize("block", one_in(4, range(10)))
def test_the_optimum_of_540_problems_with_everything_in_them(block: int) -> None:
    # needs, never_when, first, restore, an unlisted cause, hand-on, repairs that fix several or only sometimes.
    for seed in range(54 * block, 54 * (block + 1)):
        faults, tests = SIZES[seed % 27 == 0]
        data = messy(seed, faults, tests)
        try:
            problem = parse_problem(data)
        except ProblemError:
            data = messy(seed + 10_000, 2, 2)  # this one asks for what nobody can meet
            problem = parse_problem(data)
        optimum = Policy(data).optimum()
        found = check(problem, optimum)
        assert found.expected_minutes == pytest.approx(optimum, rel=1e-7)
        assert found.expected_minutes <= rolled(problem) * (1 + 1e-9)
        assert lower_bound(problem) <= optimum * (1 + 1e-9)


@pytest.mark.parametrize("block", one_in(3, range(12)))
def test_the_optimum_of_300_problems_with_all_rules_on(block: int) -> None:
    # Stops, renewing, ways of showing, what is owed, failed minutes, perishing, menders.
    for seed in range(25 * block, 25 * (block + 1)):
        data, problem = with_all_rules(seed, 3 if seed % 5 else 4, 3)
        optimum = Policy(data).optimum()
        assert check(problem, optimum).expected_minutes == pytest.approx(optimum, rel=1e-7)
        assert lower_bound(problem) <= optimum * (1 + 1e-9)


@pytest.mark.parametrize("block", range(4))
def test_the_optimum_where_others_do_some_repairs(block: int) -> None:
    for seed in range(15 * block, 15 * (block + 1)):
        data, problem = with_all_rules(seed, 3, 3, others=True)
        optimum = Policy(data).optimum()
        assert check(problem, optimum).expected_minutes == pytest.approx(optimum, rel=1e-7)


@pytest.mark.parametrize("seed", range(40))
def test_tests_that_wait_together_are_bounded_from_below_by_the_optimum(seed: int) -> None:
    data, _ = with_all_rules(seed, 2, 4)
    for test in data["tests"][:3]:
        test |= {"together": ["t0", "t1", "t2"], "minutes_together": test["minutes"] / 4}
    found, optimum = solve(parse_problem(data), 5000), Policy(data).optimum()
    assert found.proved_optimal
    assert found.lower_bound == pytest.approx(optimum, rel=1e-7)


@pytest.mark.parametrize("seed", range(40))
def test_the_optimum_without_anybody_to_hand_on_to(seed: int) -> None:
    data = unsteady(seed)
    problem = parse_problem(data)
    assert check(problem, Policy(data).optimum()).expected_minutes == pytest.approx(Policy(data).optimum(), rel=1e-7)


@pytest.mark.parametrize("seed", range(12))
def test_names_change_nothing(seed: int) -> None:
    data = messy(seed, 3, 3)
    data["tests"] = [*reversed(data["tests"])]
    data["repairs"] = [*reversed(data["repairs"])]
    plain = solve(parse_problem(messy(seed, 3, 3)), 5000)
    assert solve(parse_problem(data), 5000).expected_minutes == pytest.approx(plain.expected_minutes, rel=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_a_free_perfect_test_never_hurts(seed: int) -> None:
    data = {**messy(seed, 3, 2), "first": []}
    names = [fault["id"] for fault in data["faults"]]
    perfect = {name: [float(name == other) for other in names] for name in names}
    oracle = {"id": "oracle", "minutes": 0, "outcomes": names, "given": perfect}
    with_it = solve(parse_problem({**data, "tests": [*data["tests"], oracle]}), 5000)
    assert with_it.expected_minutes <= solve(parse_problem(data), 5000).expected_minutes + 1e-9


@pytest.mark.parametrize("seed", range(6))
def test_more_states_never_make_it_worse(seed: int) -> None:
    problem = parse_problem(messy(seed, 5, 4))
    found = [solve(problem, states) for states in (20, 80, 320)]
    assert [each.expected_minutes for each in found] == sorted((each.expected_minutes for each in found), reverse=True)
    assert [each.lower_bound for each in found] == sorted(each.lower_bound for each in found)


def test_superadditivity_on_which_the_pair_bound_rests() -> None:
    # SUPERADD, proved for the case file: a policy for the union restricts to each part.
    draw = random.Random(3)
    for _ in range(12):
        weights = [draw.uniform(0.2, 3) for _ in range(5)]
        tests = [(draw.sample(range(5), 2), draw.uniform(2, 15)) for _ in range(3)]
        minutes = [draw.uniform(5, 90) for _ in range(5)]
        cut = draw.randint(1, 4)

        def value(chosen: range, w: list[float] = weights, t: list[tuple[list[int], float]] = tests) -> float:
            kept = [weight if place in chosen else 0.0 for place, weight in enumerate(w)]
            return solve(parse_problem(exact(kept, minutes, t))).expected_minutes * sum(kept)  # noqa: B023

        assert value(range(5)) >= value(range(cut)) + value(range(cut, 5)) - 1e-9


def test_emergency_and_nothing_possible_are_said() -> None:
    problem = parse_problem(exact((1, 1), (9, 9)))
    none = Problem(problem.faults, problem.weights * 0, problem.tests, problem.repairs)
    with pytest.raises(PlanError, match="no cause is possible"):
        solve(none)
    urgent = Problem(problem.faults, problem.weights, problem.tests, problem.repairs, emergency=True)
    with pytest.raises(PlanError, match="make safe"):
        solve(urgent)


def test_runs_of_repairs_fit_their_boxes() -> None:
    data = exact([1] * 12, [9 + place for place in range(12)])
    problem = parse_problem(data)
    short = Problem(problem.faults, problem.weights, problem.tests, problem.repairs, run_limit=5)
    plan = solve(short).plan
    assert plan is not None
    assert [len(box.steps) for box in plan.boxes] == [5, 5, 2]


def test_the_solution_takes_the_step_that_the_policy_ranks_where_both_are_optimal() -> None:
    data = exact((1, 1, 1, 1), (10, 10, 10, 10), [({0, 1}, 6), ({0, 2}, 6)])
    problem = parse_problem(data)
    step = next_step(problem, believe(problem, {}))
    plan = solve(problem).plan
    assert step is not None
    assert plan is not None
    assert plan.boxes[0].steps == (step.id,)
