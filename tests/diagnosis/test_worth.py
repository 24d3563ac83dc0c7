"""diagnosis/worth/figured.py: what stands beside each other is in the order that it must be in."""

from dataclasses import replace
from typing import Any

import pytest
from faultleaf.diagnosis import Figured, figured, lower_bound, parse_problem, plans
from faultleaf.diagnosis.chart.grow import Grower
from faultleaf.diagnosis.chart.tree import sprout
from faultleaf.diagnosis.model.state import start_state
from faultleaf.diagnosis.worth.figured import Effort, Worth, without_idle_tests

from tests.diagnosis.brute import Policy
from tests.diagnosis.problems import messy, messy_problem

BUDGETS = (6, 8, 12, 20)
EFFORT = Effort(states=2000, shakings=2)
SEEDS = range(12)


def rules(worth: Worth) -> dict[str, float]:
    return {
        "in card order": worth.in_card_order,
        "repairs alone": worth.repairs_alone,
        "gain per cost": worth.gain_per_cost,
        "one step": worth.one_step,
    }


@pytest.mark.parametrize("seed", SEEDS)
def test_bound_below_the_optimum_below_all_plans(seed: int) -> None:
    data = messy(seed)
    worth, optimum = figured(parse_problem(data), BUDGETS, EFFORT).worth, Policy(data).optimum()
    assert worth is not None
    assert worth.proved
    assert worth.unlimited == pytest.approx(optimum, rel=1e-9)
    assert worth.lower_bound <= optimum * (1 + 1e-9)
    assert worth.excess == pytest.approx(0, abs=1e-8)
    for name, minutes in {**rules(worth), **{str(boxes): minutes for boxes, minutes in worth.curve}}.items():
        assert minutes >= optimum * (1 - 1e-9), name


@pytest.mark.parametrize("seed", range(20, 24))
def test_larger_problems_keep_the_same_order(seed: int) -> None:
    problem = messy_problem(seed, faults=8, tests=6)
    found = figured(problem, BUDGETS, Effort(states=300, shakings=1))
    worth = found.worth
    assert worth is not None
    assert lower_bound(problem) <= worth.lower_bound * (1 + 1e-9)
    assert worth.lower_bound <= worth.unlimited * (1 + 1e-9)
    assert worth.unlimited <= min(rules(worth).values()) * (1 + 1e-9)
    minutes = [minutes for _, minutes in worth.curve]
    assert minutes == sorted(minutes, reverse=True)
    assert worth.unlimited <= minutes[-1]
    for boxes, chart in found.plans.items():
        # Never worse than the tree that grows greedily to as many boxes.
        tree = Grower(problem).grown(sprout(problem, start_state(problem)), boxes)
        assert chart.expected_minutes <= tree.cost / problem.weights.sum() * (1 + 1e-9)


def test_charts_are_those_that_plans_makes() -> None:
    problem = messy_problem(5, faults=5, tests=4)
    assert figured(problem, BUDGETS, Effort(states=50, shakings=0)).plans == plans(problem, BUDGETS)


def test_same_figures_every_time_and_of_equal_problems() -> None:
    assert figured(messy_problem(7), BUDGETS, EFFORT) == figured(messy_problem(7), BUDGETS, EFFORT)


def idle(data: dict[str, Any], minutes: float) -> dict[str, Any]:
    """The problem with one more test that may never be done."""
    test = {"id": "idle", "minutes": minutes, "outcomes": ["a", "b", "c", "d"], "given": {"f0": [1, 0, 0, 0]}}
    return {**data, "tests": [test, *data["tests"]]}


@pytest.mark.parametrize("seed", range(4))
def test_test_that_may_not_be_done_changes_nothing(seed: int) -> None:
    plain = messy_problem(seed)
    whole = parse_problem(idle(messy(seed), 3.0))
    more = replace(whole, tests=(replace(whole.tests[0], offered=False), *whole.tests[1:]))
    assert len(without_idle_tests(more).tests) == len(plain.tests)
    one, other = (figured(problem, BUDGETS, EFFORT) for problem in (plain, more))
    assert one == other


def test_test_that_a_step_looks_at_is_kept() -> None:
    data = messy(0)
    data["repairs"][0]["never_when"] = {"idle": "a"}
    whole = parse_problem(idle(data, 3.0))
    more = replace(whole, tests=(replace(whole.tests[0], offered=False), *whole.tests[1:]))
    assert without_idle_tests(more).tests[0].id == "idle"


def test_without_a_chart_nothing_else_is_worked_out() -> None:
    # Thirty tests that come first have more outcomes than can be gone through, and no chart of six boxes.
    tests = [{"id": f"t{n}", "minutes": 1, "outcomes": ["a", "b"], "given": {"f0": [0.5, 0.5]}} for n in range(30)]
    data = {"faults": [{"id": "f0", "weight": 1}], "tests": tests, "hand_on": {"minutes": 9}, "repairs": []}
    found = figured(parse_problem({**data, "first": [test["id"] for test in tests]}), (6,))
    assert found == Figured({}, None)
