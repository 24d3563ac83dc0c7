"""sheets/onward.py: the calls that end unsettled, the problem they make, and what two charts cost together."""

from pathlib import Path

import numpy as np
import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import Plan, PlanError, Problem, compile_problem, evaluate_plan, parse_problem, plan
from faultleaf.diagnosis.worth.endings import endings
from faultleaf.sheets.onward import Arrival, Tally, followed, onward, start_of

from tests.library import make_library
from tests.stopping import CARDS, CHART


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return make_library(tmp_path_factory.mktemp("onward"), CARDS)


@pytest.fixture(scope="module")
def problem(library: Library) -> Problem:
    return compile_problem(library, ["stops"])


FILE = {
    "faults": [{"id": "a", "weight": 3.0}, {"id": "b", "weight": 2.0}, {"id": "c", "weight": 1.0}],
    "repairs": [
        {"id": "ra", "minutes": 30, "fixes": {"a": 0.9}},
        {"id": "rb", "minutes": 60, "fixes": {"b": 0.8}},
        {"id": "rc", "minutes": 90, "fixes": {"c": 1.0}},
    ],
    "tests": [
        {"id": "t", "minutes": 5, "outcomes": ["yes", "no"], "given": {"a": [0.9, 0.1]}, "otherwise": [0.2, 0.8]},
        {"id": "u", "minutes": 9, "outcomes": ["yes", "no"], "given": {"b": [0.7, 0.3]}, "otherwise": [0.1, 0.9]},
    ],
    "hand_on": {"minutes": 240},
}  # fmt: skip


def minutes_of(problem: Problem, made: Plan) -> tuple[float, tuple[Arrival, ...], Tally]:
    tally = Tally()
    ends = followed(problem, made, [start_of(problem)], tally)
    return tally.minutes + sum(float(one.weights @ problem.ending) for one in ends), ends, tally


@pytest.mark.parametrize("boxes", [3, 5, 7])
def test_following_a_plan_costs_what_the_engine_says_by_other_sums(boxes: int) -> None:
    problem = parse_problem(FILE)
    made = plan(problem, boxes)
    minutes, ends, tally = minutes_of(problem, made)
    assert minutes == pytest.approx(evaluate_plan(problem, made))
    counted = endings(problem, made)
    assert tally.cured == pytest.approx(counted.cured)
    assert sum(one.weights.sum() for one in ends) == pytest.approx(counted.handed_on)


def test_calls_that_a_stop_holds_never_go_on(problem: Problem) -> None:
    """The hand-on is entered from a stopped path too; on paper these calls end there."""
    _, ends, _ = minutes_of(problem, CHART)
    barred = [one for one in ends if one.barred(problem)]
    assert barred
    counted = endings(problem, CHART)
    assert sum(one.weights.sum() for one in barred) == pytest.approx(counted.stopped)
    mixture = onward(problem, ends)
    assert mixture is not None
    assert mixture.weights.sum() == pytest.approx(counted.handed_on)
    assert onward(problem, barred) is None


def some(problem: Problem, weights: list[float], known: dict[str, str], tried: set[str]) -> Arrival:
    spread = np.array(weights)
    seen = {test: frozenset([outcome]) for test, outcome in known.items()}
    return Arrival(spread, np.zeros(len(problem.faults)), seen, frozenset(tried))


def test_what_some_calls_did_is_remembered_by_these_alone() -> None:
    """Worked by hand: of fault a, a quarter saw "yes" and remembers it, the rest does the test now."""
    problem = parse_problem(FILE)
    saw = some(problem, [0.1, 0.0, 0.0], {"t": "yes"}, {"ra"})
    fresh = some(problem, [0.3, 0.2, 0.2], {}, set())
    mixture = onward(problem, [saw, fresh])
    assert mixture is not None
    test = mixture.tests[mixture.test_index["t"]]
    assert test.table[0] == pytest.approx([0.25 + 0.75 * 0.9, 0.75 * 0.1])
    assert test.table[1] == pytest.approx([0.2, 0.8])
    assert test.minutes == pytest.approx(5 * 0.7 / 0.8 + 1)
    repair = mixture.repairs[mixture.repair_index["ra"]]
    assert repair.fixes[0] == pytest.approx(0.9 * 0.75)
    assert mixture.weights == pytest.approx([0.4, 0.2, 0.2])


def test_a_repair_that_all_have_tried_and_a_test_that_all_saw_alike_are_not_offered_again() -> None:
    problem = parse_problem(FILE)
    mixture = onward(problem, [some(problem, [0.1, 0.2, 0.3], {"t": "no"}, {"ra"})])
    assert mixture is not None
    assert [repair.id for repair in mixture.repairs] == ["rb", "rc"]
    assert [test.id for test in mixture.tests if test.offered] == ["u"]


@pytest.mark.parametrize("boxes", [2, 3, 4])
def test_two_charts_cost_nearly_what_the_second_one_was_planned_to_cost(boxes: int) -> None:
    """The second chart's own figure forgets, after its first step, who remembers what; the ways are exact."""
    problem = parse_problem(FILE)
    first = plan(problem, boxes)
    _, ends, tally = minutes_of(problem, first)
    mixture = onward(problem, ends)
    if mixture is None:
        return
    second = plan(mixture, 5)
    left = followed(problem, second, ends, tally)
    exact = tally.minutes + sum(float(one.weights @ problem.ending) for one in left)
    alone = evaluate_plan(problem, first)
    planned = alone - float(mixture.weights @ problem.ending) + mixture.weights.sum() * second.expected_minutes
    assert exact <= alone + 1e-9
    assert exact == pytest.approx(planned, rel=0.02)


def test_a_step_that_a_way_may_not_take_is_refused(problem: Problem) -> None:
    short = Plan(CHART.boxes, "b3", 0.0, 0.0)
    with pytest.raises(PlanError, match="a way comes to 'hold' on which it may not be done"):
        followed(problem, short, [some(problem, [0.1] * len(problem.faults), {"look": "empty"}, set())], Tally())


def test_needs_that_all_have_found_need_not_be_asked_and_what_forbids_must(tmp_path: Path) -> None:
    cards = {**CARDS, "tests/hold": {**CARDS["tests/hold"], "needs": {"look": "water"}}}  # type: ignore[dict-item]
    problem = compile_problem(make_library(tmp_path, cards), ["stops"])
    even = [0.1] * len(problem.faults)
    wet, new = some(problem, even, {"look": "water"}, set()), some(problem, even, {}, set())
    alike, mixed = onward(problem, [wet]), onward(problem, [wet, new])
    assert alike is not None
    assert mixed is not None
    assert alike.tests[alike.test_index["hold"]].needs == {}
    assert mixed.tests[mixed.test_index["hold"]].needs == {"look": frozenset({"water"})}
