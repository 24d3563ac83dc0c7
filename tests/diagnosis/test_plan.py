"""Plans: exact minutes, laws, and never better than the best policy found by brute force."""

import random
from dataclasses import replace
from itertools import pairwise

import pytest
from faultleaf.diagnosis import (
    Box,
    Exit,
    Plan,
    PlanError,
    Problem,
    believe,
    evaluate_plan,
    next_step,
    parse_problem,
    plan,
)

from tests.counts import one_in
from tests.diagnosis.brute import Policy
from tests.diagnosis.problems import exact, messy, messy_problem

LARGE = 60


def paths_minutes(problem: Problem, found: Plan) -> float:
    """Expected minutes by following every fault along every path, one at a time."""
    boxes = {box.id: box for box in found.boxes}

    def follow(name: str, fault: int) -> float:
        box = boxes[name]
        if box.kind == "hand-on":
            return problem.hand_on or 0.0
        targets = {exit_.outcome: exit_.target for exit_ in box.exits}
        if box.kind == "test":
            test = problem.tests[problem.test_index[box.steps[0]]]
            ways = [(float(test.table[fault, o]), targets[name]) for o, name in enumerate(test.outcomes)]
            return test.minutes + sum(p * follow(to, fault) for p, to in ways if p > 0 and to is not None)
        spent, still = 0.0, 1.0
        for step in box.steps:
            repair = problem.repairs[problem.repair_index[step]]
            spent += still * repair.minutes
            still *= 1 - float(repair.fixes[fault])
        after = targets.get("still-there")
        return spent + (still * follow(after, fault) if after is not None and still > 0 else 0.0)

    shares = problem.weights / problem.weights.sum()
    return sum(float(share) * follow(found.root, fault) for fault, share in enumerate(shares) if share > 0)


@pytest.mark.parametrize("seed", range(40))
def test_minutes_are_exact_and_not_below_the_optimum(seed: int) -> None:
    data = messy(seed, faults=3 + seed % 2, tests=3)
    problem = parse_problem(data)
    found = plan(problem, LARGE)
    assert found.expected_minutes == pytest.approx(evaluate_plan(problem, found), rel=1e-12)
    assert found.expected_minutes == pytest.approx(paths_minutes(problem, found), rel=1e-9)
    assert found.expected_minutes >= Policy(data).optimum() - 1e-9


def test_close_to_the_optimum_on_small_problems() -> None:
    gaps = []
    for seed in one_in(3, range(40)):
        data = messy(seed, faults=3 + seed % 2, tests=3)
        gaps.append(plan(parse_problem(data), LARGE).expected_minutes / Policy(data).optimum() - 1)
    assert sum(gaps) / len(gaps) < 0.005
    assert max(gaps) < 0.05


@pytest.mark.parametrize("seed", one_in(3, range(12)))
def test_more_boxes_are_never_worse_and_the_budget_is_kept(seed: int) -> None:
    problem = messy_problem(seed, faults=6, tests=5)
    smallest = next(boxes for boxes in range(1, 20) if _fits(problem, boxes))
    curve = [plan(problem, boxes) for boxes in range(smallest, smallest + 14)]
    for boxes, found in enumerate(curve, smallest):
        assert len(found.boxes) <= boxes
        assert 0 < found.lower_bound <= found.expected_minutes
    for fewer, more in pairwise(curve):
        assert more.expected_minutes <= fewer.expected_minutes * (1 + 1e-8)


def _fits(problem: Problem, boxes: int) -> bool:
    try:
        plan(problem, boxes)
    except PlanError:
        return False
    return True


@pytest.mark.parametrize("seed", range(12))
def test_never_worse_than_the_step_that_looks_best(seed: int) -> None:
    problem = messy_problem(seed, faults=5, tests=4)
    step = next_step(problem, believe(problem, {}))
    assert step is not None
    restores = any(repair.restore for repair in problem.repairs)
    if step.reason != "first" and not restores:
        assert plan(problem, LARGE).expected_minutes <= step.expected_minutes * (1 + 1e-9)


@pytest.mark.parametrize("seed", range(10))
def test_relabelling_changes_nothing(seed: int) -> None:
    data = {**messy(seed, faults=5, tests=4), "first": []}
    shuffled = {**data, "faults": [*data["faults"]], "tests": [*data["tests"]], "repairs": [*data["repairs"]]}
    listed = shuffled["faults"][:-1]
    random.Random(seed).shuffle(listed)
    random.Random(seed).shuffle(shuffled["tests"])
    random.Random(seed).shuffle(shuffled["repairs"])
    shuffled["faults"] = [*listed, data["faults"][-1]]
    one, other = (plan(parse_problem(d), 12) for d in (data, shuffled))
    assert one.expected_minutes == pytest.approx(other.expected_minutes, rel=1e-9)
    assert [box.steps for box in one.boxes] == [box.steps for box in other.boxes]


@pytest.mark.parametrize("seed", range(10))
def test_boxes_stand_in_reading_order_with_shares_that_add_up(seed: int) -> None:
    problem = messy_problem(seed, faults=6, tests=5)
    found = plan(problem, 20)
    place = {box.id: index for index, box in enumerate(found.boxes)}
    assert [box.id for box in found.boxes] == [f"b{number}" for number in range(1, len(found.boxes) + 1)]
    assert found.root == "b1"
    for box in found.boxes:
        assert all(place[exit_.target] > place[box.id] for exit_ in box.exits if exit_.target)
        if box.exits and box.reach > 0:
            assert sum(exit_.share for exit_ in box.exits) == pytest.approx(1)
        entering = sum(b.reach * e.share for b in found.boxes for e in b.exits if e.target == box.id)
        assert box.reach == pytest.approx(1.0 if box.id == "b1" else entering)
        assert len(box.steps) == {"test": 1, "hand-on": 0}.get(box.kind, len(box.steps))


def test_every_outcome_of_a_test_has_a_target_even_one_nobody_expects() -> None:
    for price in (None, 300.0):
        data = exact((1, 1, 1), (40, 50, 60), [({0}, 2)], hand_on=price)
        data["tests"][0]["outcomes"] = ["yes", "no", "never"]
        data["tests"][0]["given"] = {"f0": [1, 0, 0], "f1": [0, 1, 0], "f2": [0, 1, 0]}
        found = plan(parse_problem(data))
        assert [exit_.outcome for exit_ in found.boxes[0].exits] == ["yes", "no", "never"]
        assert all(exit_.target is not None for exit_ in found.boxes[0].exits)


def test_first_tests_are_always_drawn_and_respect_what_forbids_them() -> None:
    tests = [({0}, 5), ({1}, 5), ({2}, 5)]
    data = {**exact((5, 3, 1), (9, 9, 9), tests, hand_on=60, noise=0.1), "first": ["t0", "t1"]}
    data["tests"][1]["never_when"] = {"t0": "yes"}
    problem = parse_problem(data)
    found = plan(problem, 20)
    assert found.boxes[0].steps == ("t0",)
    targets = {exit_.outcome: exit_.target for exit_ in found.boxes[0].exits}
    steps = {box.id: box.steps for box in found.boxes}
    assert steps[str(targets["no"])] == ("t1",)
    below = _steps_from(found, str(targets["yes"]))
    assert "t1" not in below


def _steps_from(found: Plan, name: str) -> set[str]:
    box = next(box for box in found.boxes if box.id == name)
    steps = set(box.steps)
    for exit_ in box.exits:
        steps |= _steps_from(found, exit_.target) if exit_.target else set()
    return steps


@pytest.mark.parametrize("seed", range(40, 70))
def test_no_path_takes_a_forbidden_step(seed: int) -> None:
    problem = messy_problem(seed, faults=6, tests=5)
    found = plan(problem, 16)
    boxes = {box.id: box for box in found.boxes}

    def follow(name: str, known: dict[str, str]) -> None:
        box = boxes[name]
        if box.kind == "test":
            test = problem.tests[problem.test_index[box.steps[0]]]
            _assert_permitted(test.needs, test.never_when, known)
            for exit_ in box.exits:
                follow(str(exit_.target), {**known, test.id: exit_.outcome})
        elif box.kind == "repair":
            for step in box.steps:
                repair = problem.repairs[problem.repair_index[step]]
                _assert_permitted(repair.needs, repair.never_when, known)
                known = {**known, **repair.restore}
            for exit_ in box.exits:
                if exit_.target:
                    follow(exit_.target, known)

    follow(found.root, {})


def _assert_permitted(needs: object, never_when: object, known: dict[str, str]) -> None:
    assert isinstance(needs, dict)
    assert isinstance(never_when, dict)
    assert all(known.get(test) in wanted for test, wanted in needs.items())
    assert not any(known.get(test) in banned for test, banned in never_when.items())


def test_a_chain_of_needs_is_followed_where_nobody_can_be_handed_to() -> None:
    chain = {"t1": {"t0": "yes"}, "t2": {"t1": "yes"}, "r0": {"t2": "yes"}}
    data = exact((1, 1), (9, 9), [({0, 1}, 1)] * 3, needs=chain)
    found = plan(parse_problem(data))
    assert found.expected_minutes == pytest.approx(min(3 + 9 + 4.5, 9 + 0.5 * (3 + 9)))


def test_repeated_runs_give_the_same_plan() -> None:
    assert plan(messy_problem(5, 6, 5), 14) == plan(messy_problem(5, 6, 5), 14)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (
            {"faults": [{"id": "f0", "weight": 1}], "first": ["t0", "t1"]},
            "the smallest plan found takes 3 boxes, 2 are allowed",
        ),
        ({"emergency": True}, "this is an emergency: make safe and hand on; no plan is computed"),
    ],
)
def test_plans_that_cannot_be_made_say_why(change: dict[str, object], message: str) -> None:
    emergency = bool(change.pop("emergency", False))
    data = exact((1,), (9,), [({0}, 5), ({0}, 5)], hand_on=60, noise=0.1)
    problem = replace(parse_problem({**data, **change}), emergency=emergency)
    with pytest.raises(PlanError) as refused:
        plan(problem, 2)
    assert str(refused.value) == message


def box(name: str, kind: str, steps: tuple[str, ...], **exits: str | None) -> Box:
    """A box as somebody else might hand it in: only steps and targets count."""
    ways = tuple(Exit(outcome.replace("_", "-"), 0, target) for outcome, target in exits.items())
    return Box(name, kind, steps, 0, 0, ways, ())  # type: ignore[arg-type]


def test_a_box_entered_from_two_places_acts_on_the_mixture() -> None:
    problem = parse_problem(exact((1, 1), (10, 20), [({0}, 3)], hand_on=100, noise=0.25))
    graph = Plan(
        (
            box("a", "test", ("t0",), yes="b", no="c"),
            box("b", "repair", ("r0",), cured=None, still_there="c"),
            box("c", "repair", ("r1",), cured=None, still_there="d"),
            box("d", "hand-on", ()),
        ),
        "a", 0, 0,
    )  # fmt: skip
    # yes: .375 f0, .125 f1; c gets .125 f1 from b and .125 f0, .375 f1 from a; d gets .125 f0.
    by_hand = 3 + 0.5 * 10 + 0.625 * 20 + 0.125 * 100
    assert evaluate_plan(problem, graph) == pytest.approx(by_hand)
    assert paths_minutes(problem, graph) == pytest.approx(by_hand)


@pytest.mark.parametrize(
    ("boxes", "message"),
    [
        ((box("a", "test", ("t0",), yes="a", no="a"),), "box a: the plan goes round in a circle"),
        ((box("a", "test", ("t0",), yes="b", no="b"),), "there is no box 'b'"),
        ((box("a", "test", ("t9",), yes=None),), "there is no step 't9' in this problem"),
        ((box("a", "test", ("t0",), yes=None, no=None),), "box a: 'yes' leads nowhere"),
        (
            (
                box("a", "test", ("t0",), yes="b", no="b"),
                box("b", "test", ("t0",), yes="c", no="c"),
                box("c", "hand-on", ()),
            ),
            "box a: a path takes 't0' twice",
        ),
    ],
)
def test_plans_that_make_no_sense_are_refused(boxes: tuple[Box, ...], message: str) -> None:
    problem = parse_problem(exact((1, 1), (10, 20), [({0}, 3)], hand_on=100))
    with pytest.raises(PlanError) as refused:
        evaluate_plan(problem, Plan(boxes, "a", 0, 0))
    assert str(refused.value) == message
