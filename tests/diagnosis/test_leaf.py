"""The best run of repairs: the fast forms against each other and against a direct sum."""

import random

import numpy as np
import pytest
from faultleaf.diagnosis import Problem, parse_problem, solve
from faultleaf.diagnosis.model.state import State, after_failed, start_state
from faultleaf.diagnosis.step.leaf import best_run, leaf_values, round9, rounded

from tests.diagnosis.brute import Policy
from tests.diagnosis.problems import exact, messy


def spelled_out(problem: Problem, state: State, run: tuple[int, ...]) -> float:
    """Minutes of a run and handing on, one repair at a time."""
    spent = 0.0
    for repair in run:
        card, left = problem.repairs[repair], after_failed(problem, state, repair)
        spent += card.minutes * (state.total - left.total) + card.failed_minutes * left.total
        state = left
    return spent + float((problem.owed + (problem.hand_on or 0.0)) @ state.weights)


@pytest.mark.parametrize("seed", range(30))
@pytest.mark.parametrize("overlapping", [False, True])
def test_fast_values_equal_the_run_spelled_out(seed: int, overlapping: bool) -> None:
    data = messy(seed, faults=6)
    for place, repair in enumerate(data["repairs"]):
        repair.pop("needs", None)
        repair.pop("restore", None)
        repair["fixes"] = {f"f{place}": 0.9}
        repair["failed_minutes"] = repair["minutes"] * (0.4 + 0.1 * place)
    data["hand_on"]["owed"] = {f"f{place}": 13.0 * place for place in range(6)}
    if overlapping:
        data["repairs"][0]["fixes"] = {"f0": 1.0, "f1": 0.5, "f4": 0.2}
    problem = parse_problem(data)
    assert problem.disjoint is not overlapping
    state = start_state(problem)
    run, cost = best_run(problem, state)
    values, lengths = leaf_values(problem, state.weights[None, :], np.ones((1, len(problem.repairs)), dtype=np.bool_))
    assert cost == pytest.approx(spelled_out(problem, state, run), rel=1e-12)
    assert values[0] == pytest.approx(cost, rel=1e-12)
    assert lengths[0] == len(run)


@pytest.mark.parametrize("seed", range(30))
def test_fast_values_look_at_what_repairs_forbid_each_other(seed: int) -> None:
    draw, data = random.Random(seed), messy(seed, faults=6)
    for place, repair in enumerate(data["repairs"]):
        repair["needs"], repair["never_when"] = {}, {"t0": "o1"} if draw.random() < 0.5 else {}
        repair["restore"] = {"t0": draw.choice(("o0", "o1"))} if draw.random() < 0.5 else {}
        repair["fixes"] = {f"f{place}": 0.9, f"f{(place + 1) % 6}": 0.3}
    data["repairs"][0]["restore"], data["repairs"][-1]["never_when"] = {"t0": "o1"}, {"t0": "o1"}
    problem = parse_problem(data)
    assert problem.restoring
    state = start_state(problem)
    run, cost = best_run(problem, state)
    values, lengths = leaf_values(problem, state.weights[None, :], np.ones((1, len(problem.repairs)), dtype=np.bool_))
    assert values[0] == pytest.approx(cost, rel=1e-12)
    assert lengths[0] == len(run)
    assert cost == pytest.approx(spelled_out(problem, state, run), rel=1e-12)
    tried = [problem.repairs[place] for place in run]
    for before, after in ((one, other) for at, one in enumerate(tried) for other in tried[at + 1 :]):
        assert not (before.restore.get("t0") == "o1" and after.never_when)


def test_without_handing_on_every_possible_fault_is_repaired() -> None:
    problem = parse_problem(exact((3, 0, 1), (5, 1, 5)))
    run, cost = best_run(problem, start_state(problem))
    assert run == (0, 2)
    assert cost == pytest.approx(3 * 5 + 1 * 10)


def test_what_a_repair_restores_forbids_in_a_run_and_allows_in_the_search() -> None:
    """Runs look at what a restored finding forbids; that it may allow another repair is left to the searches."""
    data = exact((4, 3), (5, 5), [({0}, 1)], hand_on=500, needs={"r1": {"t0": "yes"}})
    data["repairs"][0]["restore"] = {"t0": "yes"}
    problem = parse_problem(data)
    assert best_run(problem, start_state(problem))[0] == (0,)
    assert solve(problem).expected_minutes == pytest.approx(Policy(data).optimum(), rel=1e-9)
    data["repairs"][1] |= {"needs": {}, "never_when": {"t0": "yes"}}
    assert best_run(parse_problem(data), start_state(problem))[0] == (0,)
    data["repairs"][1]["never_when"] = {"t0": "no"}
    assert best_run(parse_problem(data), start_state(problem))[0] == (0, 1)


def test_mending_an_instrument_is_no_part_of_a_run() -> None:
    data = exact((4, 3), (5, 5), [({0}, 1)], hand_on=500)
    data["repairs"].append({"id": "mender", "minutes": 1, "restore": {"t0": "yes"}})
    problem = parse_problem(data)
    assert best_run(problem, start_state(problem))[0] == (0, 1)
    assert not problem.restoring


def test_a_cause_is_named_for_others_from_an_even_chance_on() -> None:
    for weights, named in (((1, 0.9), True), ((0.9, 1), False)):
        data = exact(weights, (5, 5), hand_on=100)
        data["repairs"] = [{**data["repairs"][0], "by_other": True}]
        problem = parse_problem(data)
        mask = np.ones((1, 1), dtype=np.bool_)
        assert leaf_values(problem, problem.weights[None, :], mask)[1][0] == named
        assert best_run(problem, start_state(problem))[0] == ((0,) if named else ())


def test_rounding_to_nine_digits() -> None:
    draw = random.Random(1)
    values = [draw.uniform(-1, 1) * 10 ** draw.randint(-8, 8) for _ in range(200)]
    assert rounded(np.array(values)) == pytest.approx([round9(value) for value in values], rel=1e-15)
    assert rounded(np.array([0.0, np.inf])).tolist() == [0.0, np.inf]
    assert round9(1.23456789449) == 1.23456789
    assert round9(1.0000000005) == 1.0
