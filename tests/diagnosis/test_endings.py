"""How calls end (diagnosis/worth/endings.py), against the same plan played on drawn calls, and by hand."""

import random
from collections import Counter
from dataclasses import replace

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import CURED, HAND_ON, STILL_THERE, Plan, Problem, believe, compile_problem, plan
from faultleaf.diagnosis.model.state import after_failed, after_test, due_first
from faultleaf.diagnosis.step.leaf import best_run
from faultleaf.diagnosis.worth.endings import Endings, endings, endings_by, stopped_on
from faultleaf.diagnosis.worth.heuristics import one_step

from tests.calls.errors import errors_off, share_off
from tests.calls.played import DrawnCall, draw_call
from tests.library import make_library
from tests.stopping import CARDS, CHART, box

CALLS, SEED = 4000, 20261126


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return make_library(tmp_path_factory.mktemp("cards"), CARDS)


def play(problem: Problem, chart: Plan, call: DrawnCall) -> tuple[str, float]:
    """How this call ends when it follows the chart, and the minutes of work until then."""
    boxes = {one.id: one for one in chart.boxes}
    here, work, found = boxes[chart.root], 0.0, dict[str, str]()
    while here.kind != HAND_ON:
        outcome = STILL_THERE
        for step in here.steps:
            if step in problem.test_index:
                outcome = call.shows[step]
                test = problem.tests[problem.test_index[step]]
                found = {**found, step: outcome, **test.renews.get(outcome, {})}
                work += test.hands_on
                continue
            repair = problem.repairs[problem.repair_index[step]]
            if repair.by_other:
                return "named", work
            work += repair.hands_on
            if step in call.cures:
                return CURED, work
        here = boxes[next(str(way.target) for way in here.exits if way.outcome == outcome)]
    danger = any(stop.caution and found.get(stop.test) == stop.outcome for stop in problem.stops)
    return ("stopped" if danger else "handed on"), work


def agrees(problem: Problem, chart: Plan, exact: Endings) -> None:
    draw = random.Random(SEED)
    ends = [play(problem, chart, draw_call(problem, draw)) for _ in range(CALLS)]
    shares = {CURED: exact.cured, "named": exact.named, "handed on": exact.handed_on, "stopped": exact.stopped}
    assert sum(shares.values()) == pytest.approx(1, abs=1e-12)
    for kind, share in shares.items():
        assert abs(share_off([end == kind for end, _ in ends], share)) < 3, kind
    cured = [work for end, work in ends if end == CURED]
    assert abs(errors_off(cured, exact.work_minutes)) < 3
    assert Counter(end for end, _ in ends).keys() == {kind for kind, share in shares.items() if share > 0}


def test_all_four_ends_are_as_often_as_in_drawn_calls(library: Library) -> None:
    problem = compile_problem(library, ["stops"])
    exact = endings(problem, CHART)
    assert min(exact.cured, exact.named, exact.handed_on, exact.stopped) > 0.01
    agrees(problem, CHART, exact)


def test_computed_plan_ends_as_drawn_calls_do(library: Library) -> None:
    problem = compile_problem(library, ["stops"])
    chart = plan(problem, 9)
    agrees(problem, chart, endings(problem, chart))


@pytest.mark.parametrize("who", ["apprentice", "technician"])
def test_repairs_above_the_rank_name_the_cause(library: Library, who: str) -> None:
    problem = compile_problem(library, ["stops"], who=who)
    exact = endings(problem, CHART)
    assert (exact.cured == 0) == (who == "apprentice")
    assert exact.named > 0.1


def test_mean_work_of_the_cured_by_hand(library: Library) -> None:
    """One repair alone: 20 min and 10 min of proof, in every call that it cures, after a hold of 5 + 20 min."""
    problem = compile_problem(library, ["stops"])
    ways = (
        box("b1", "test", ("hold",), rises="b3", stays="b2"),
        box("b2", "repair", ("lead",), cured=None, still_there="b3"),
        box("b3", HAND_ON, ()),
    )
    exact = endings(problem, Plan(ways, "b1", 0.0, 0.0))
    row = problem.faults.index("lead")
    hold = problem.tests[problem.test_index["hold"]]
    share = problem.weights[row] / problem.weights.sum() * hold.table[row, hold.outcomes.index("stays")] * 0.85
    assert exact.cured == pytest.approx(share, rel=1e-12)
    assert exact.work_minutes == pytest.approx(25 + 30, rel=1e-12)
    assert exact.named == exact.stopped == 0


def test_stops_are_known_on_every_way(library: Library) -> None:
    problem = compile_problem(library, ["stops"])
    found = stopped_on(problem, CHART)
    danger = frozenset([("look", "empty")])
    assert found.entering["b2"] == {danger}
    assert found.entering["b3"] == {frozenset()}  # straight, and after the cold look that renewed the finding
    assert found.leaving["b2", "damaged"] == {danger}
    assert found.leaving["b2", "sound"] == {frozenset()}
    assert found.entering["b7"] == {frozenset(), danger}
    assert "b5" not in found.entering  # behind the quote: the call ended there


@pytest.mark.parametrize("who", ["apprentice", "licensed"])
@pytest.mark.parametrize("findings", [{}, {"look": "empty"}, {"look": "water", "hold": "rises"}])
def test_ends_ahead_are_as_often_as_in_calls_worked_so(library: Library, who: str, findings: dict[str, str]) -> None:
    """The rule that names the steps, played on drawn calls; a stop is looked up in what was found."""
    problem = compile_problem(library, ["stops"], who=who)
    belief = believe(problem, findings)
    exact = endings_by(problem, belief.state, one_step)
    draw, ends = random.Random(SEED), Counter[str]()
    here = replace(problem, weights=belief.weights)
    for _ in range(CALLS):
        call, state, end = draw_call(here, draw), belief.state, ""
        while not end:
            due, choice = due_first(problem, state), one_step(problem, state)
            run, _minutes = best_run(problem, state)
            if due is not None or choice is not None:
                place = due if due is not None else choice.place  # type: ignore[union-attr]
                card = problem.tests[place]
                state = after_test(problem, state, place, (card.outcomes.index(call.shows[card.id]),))
            elif not run:
                end = "stopped" if "empty" in state.known.get("look", ()) else "handed on"
            elif problem.repairs[run[0]].by_other:
                end = "named"
            else:
                end = CURED if problem.repairs[run[0]].id in call.cures else ""
                state = after_failed(problem, state, run[0])
        ends[end] += 1
    shares = {CURED: exact.cured, "named": exact.named, "handed on": exact.handed_on, "stopped": exact.stopped}
    assert sum(shares.values()) == pytest.approx(1, abs=1e-12)
    for kind, share in shares.items():
        assert abs(share_off([True] * ends[kind] + [False] * (CALLS - ends[kind]), share)) < 3, kind
