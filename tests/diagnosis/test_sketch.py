"""Plan graphs: equal to the best of all graphs where these can be counted out, and what every draft obeys."""

import random
from itertools import pairwise
from math import inf
from pathlib import Path

import pytest
from faultleaf.diagnosis import Problem, compile_problem, evaluate_plan, parse_problem, plan, plans
from faultleaf.diagnosis.chart.draft import END, Draft, Station
from faultleaf.diagnosis.chart.grow import Grower
from faultleaf.diagnosis.chart.insert import insertions
from faultleaf.diagnosis.chart.marks import actions_of
from faultleaf.diagnosis.chart.polish import polished
from faultleaf.diagnosis.chart.pull import pulled_up, without
from faultleaf.diagnosis.chart.sketch import draft_of
from faultleaf.diagnosis.chart.tree import count_boxes, sprout
from faultleaf.diagnosis.model.state import start_state
from faultleaf.intake import Layer, read_library

from tests.diagnosis.all_rules import with_all_rules
from tests.diagnosis.brute import Policy
from tests.diagnosis.brute_graph import Graphs
from tests.diagnosis.problems import exact, messy, messy_problem


@pytest.mark.parametrize(
    ("seed", "faults", "boxes"), [*((seed, 2, 4) for seed in range(30)), (100, 3, 4), (102, 3, 4), (0, 2, 5)]
)
def test_equal_to_the_best_of_all_graphs(seed: int, faults: int, boxes: int) -> None:
    data = messy(seed, faults=faults, tests=2)
    found = plans(parse_problem(data), [boxes])[boxes]
    assert found.expected_minutes == pytest.approx(Graphs(data).cheapest(boxes), rel=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_equal_to_the_best_of_all_graphs_with_all_rules_on(seed: int) -> None:
    """Stops, renewing, what is owed, failed minutes, perishing; a test's box costs what the test costs by itself."""
    data, problem = with_all_rules(seed, 2, 3, menders=False)
    best = Graphs(data).cheapest(4)
    found = plans(problem, [4])
    assert (found[4].expected_minutes if found else inf) == pytest.approx(best, rel=1e-9)


def test_a_chart_mends_the_instrument_before_it_goes_on() -> None:
    """Rule 17: the glass is mended there and then; only then anything that relies on it."""
    data = exact((1,), (10,), [({0}, 2)], hand_on=180, noise=0.3)
    data["repairs"].append({"id": "mender", "minutes": 6, "fixes": {}, "needs": {"t0": "no"}, "restore": {"t0": "yes"}})
    data |= {"first": ["t0"], "stops": [{"test": "t0", "outcome": "no", "allows": ["mender"]}]}
    found = plan(parse_problem(data), 5)
    assert found.expected_minutes == pytest.approx(Policy(data).optimum(), rel=1e-9)
    assert found.expected_minutes == pytest.approx(2 + 0.3 * 6 + 10)


def grown_tree(problem: Problem, boxes: int) -> float:
    """Minutes of the greedy tree of so many boxes; infinite where the smallest takes more."""
    tree = Grower(problem).grown(sprout(problem, start_state(problem)), boxes)
    return tree.cost / float(problem.weights.sum()) if count_boxes(tree) <= boxes else float("inf")


@pytest.mark.parametrize("seed", range(8))
def test_never_worse_than_the_grown_tree_and_more_boxes_never_worse(seed: int) -> None:
    problem = messy_problem(seed, faults=6, tests=5)
    curve = plans(problem, range(1, 23))
    assert sorted(curve) == list(range(min(curve), 23))
    for boxes, found in curve.items():
        assert len(found.boxes) <= boxes
        assert found.expected_minutes <= grown_tree(problem, boxes) * (1 + 1e-9)
        assert found.expected_minutes == pytest.approx(evaluate_plan(problem, found), rel=1e-12)
    for fewer, more in pairwise(curve.values()):
        assert more.expected_minutes <= fewer.expected_minutes * (1 + 1e-9)


@pytest.mark.parametrize("boxes", [5, 9, 10, 14])
def test_one_search_gives_the_plans_of_every_budget(boxes: int) -> None:
    problem = messy_problem(3, faults=5, tests=4)
    assert plans(problem, [4, boxes, 20])[boxes] == plan(problem, boxes)


SHIPPED = read_library([Layer(Path(__file__).parents[2] / "content", "content")]).readable


@pytest.mark.parametrize("symptom", ["gauge-glass-misleading", "low-water-shutdown"])
def test_shipped_symptoms_never_worse_than_the_grown_tree(symptom: str) -> None:
    equipment = next(iter(SHIPPED.symptoms[symptom].variants.values()))
    problem = compile_problem(SHIPPED, [symptom], equipment=equipment)
    for boxes, found in plans(problem, (7, 11)).items():
        assert found.expected_minutes <= grown_tree(problem, boxes) * (1 + 1e-9)
        assert found.expected_minutes == pytest.approx(evaluate_plan(problem, found), rel=1e-12)


def line_of_doors() -> Problem:
    """Four causes, each with a cheap test that points at it alone but misses it now and then, and a dear
    repair: test, repair, back to the line, as good hand-drawn charts have it."""
    data = exact((4, 3, 2, 1), (40, 40, 40, 40), [({i}, 3) for i in range(4)], hand_on=400, noise=0.1)
    return parse_problem(data)


def test_a_line_with_side_exits_shares_its_boxes() -> None:
    problem = line_of_doors()
    found = plan(problem, 9)
    entries = [exit_.target for box in found.boxes for exit_ in box.exits if exit_.target]
    shared = {name for name in entries if entries.count(name) > 1}
    assert {box.kind for box in found.boxes if box.id in shared} > {"hand-on"}
    assert found.expected_minutes < grown_tree(problem, 9) * 0.99


def start_draft(problem: Problem) -> Draft:
    return draft_of(actions_of(problem), sprout(problem, start_state(problem)))


def random_drafts(seed: int) -> list[Draft]:
    """Drafts met on a random way through the moves, sound ones."""
    draw = random.Random(seed)
    found = [start_draft(messy_problem(seed, faults=5, tests=4))]
    for _ in range(6):
        bigger = [draft for draft in insertions(found[-1], 3, 3) if draft.sound]
        if not bigger:
            break
        found.append(draw.choice(bigger))
    return found


@pytest.mark.parametrize("seed", range(12))
def test_moves_keep_drafts_sound_and_polishing_never_costs(seed: int) -> None:
    for draft in random_drafts(seed):
        assert draft.cost == pytest.approx(minutes_walked(draft), rel=1e-9)
        better = polished(draft, draft.boxes)
        assert better.sound
        assert better.boxes <= draft.boxes
        assert better.cost <= draft.cost
        for place in draft.order:
            smaller = without(draft, place)
            assert smaller is None or (smaller.sound and smaller.boxes < draft.boxes + 1)
        assert all(other.sound for other in pulled_up(draft, 4))


def minutes_walked(draft: Draft) -> float:
    """Expected minutes by following every path of a draft."""
    actions, problem = draft.actions, draft.actions.problem

    def follow(place: int, fault: int) -> float:
        if place == END:
            assert problem.hand_on is not None
            return float(problem.ending[fault])
        station, spent, left = draft.stations[place], 0.0, 1.0
        if station.steps[0] < actions.tests:
            step = station.steps[0]
            ways = ((float(actions.chance[step, o, fault]), target) for o, target in enumerate(station.targets))
            return float(actions.spent[step, fault]) + sum(p * follow(target, fault) for p, target in ways if p > 0)
        for step in station.steps:
            spent += left * float(actions.spent[step, fault])
            left *= float(actions.chance[step, 0, fault])
        return spent + (left * follow(station.targets[0], fault) if left > 0 else 0.0)

    shares = problem.weights / problem.weights.sum()
    return sum(float(share) * follow(draft.root, fault) for fault, share in enumerate(shares) if share > 0)


@pytest.mark.parametrize("seed", range(12))
def test_the_best_insertion_saves_before_it_is_polished(seed: int) -> None:
    draft = start_draft(messy_problem(seed, faults=5, tests=4))
    for bigger in insertions(draft, 2, 4):
        assert bigger.cost < draft.cost
        assert bigger.boxes <= draft.boxes + 2


@pytest.mark.parametrize(
    ("stations", "sound"),
    [
        ((Station((0,), (1, END)), Station((1,), (END, END))), True),
        ((Station((0,), (1, 1)), Station((0,), (END, END))), False),
        ((Station((0,), (1, 0)), Station((1,), (END, END))), False),
        ((Station((1,), (END, END)),), False),
        ((Station((0,), (END, 1)), Station((1,), (END, END))), False),
        ((Station((0,), (1, 1)), Station((1,), (END, END))), False),
        ((Station((2,), (END,)),), False),
        ((Station((0,), (1, END)), Station((2, 3), (END,))), True),
        ((Station((0,), (1, END)), Station((2, 3, 2), (END,))), False),
    ],
    ids=["met", "twice", "circle", "unmet", "wrong outcome", "either outcome", "repair", "run", "run twice"],
)
def test_marks_refuse_what_no_path_may_do(stations: tuple[Station, ...], sound: bool) -> None:
    # t1 and r0 need that t0 said yes; steps are t0, t1, r0, r1.
    needs = {"t1": {"t0": "yes"}, "r0": {"t0": "yes"}}
    problem = parse_problem(exact((1, 1), (9, 9), [({0}, 1), ({1}, 1)], hand_on=50, noise=0.1, needs=needs))
    assert Draft(actions_of(problem), stations, 0).sound is sound


def test_first_tests_come_before_everything_else_but_not_when_ruled_out() -> None:
    data = {**exact((1, 1), (9, 9), [({0}, 1), ({1}, 1)], hand_on=50, noise=0.1), "first": ["t0", "t1"]}
    data["tests"][1]["never_when"] = {"t0": "yes"}
    actions = actions_of(parse_problem(data))
    tail = (Station((1,), (END, END)), Station((2,), (END,)))
    assert Draft(actions, (Station((0,), (2, 1)), *tail), 0).sound
    assert not Draft(actions, (Station((0,), (2, END)), *tail), 0).sound
    assert not Draft(actions, (Station((0,), (1, 1)), *tail), 0).sound
    assert not Draft(actions, (), END).sound


def test_what_a_repair_restores_counts_as_found() -> None:
    data = exact((1, 1), (9, 9), [({0}, 1), ({1}, 1)], hand_on=50, noise=0.1, needs={"t1": {"t0": "yes"}})
    data["repairs"][0]["restore"] = {"t0": "yes"}
    actions = actions_of(parse_problem(data))
    assert Draft(actions, (Station((2,), (1,)), Station((1,), (END, END))), 0).sound
    assert not Draft(actions, (Station((2,), (1,)), Station((0,), (END, END))), 0).sound
    assert not Draft(actions, (Station((3,), (1,)), Station((1,), (END, END))), 0).sound


def test_boxes_of_a_draft_are_those_of_the_tree_it_draws() -> None:
    problem = messy_problem(5, faults=6, tests=5)
    tree = Grower(problem).grown(sprout(problem, start_state(problem)), 12)
    draft = draft_of(actions_of(problem), tree)
    assert draft.boxes == count_boxes(tree)
    assert draft.cost == pytest.approx(tree.cost / float(problem.weights.sum()), rel=1e-9)
