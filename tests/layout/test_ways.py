"""layout/ways.py and the boxes it makes: stops, what may follow them, causes that others repair, what is mended."""

from dataclasses import replace

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import HAND_ON, Plan, Problem, compile_problem, plan
from faultleaf.diagnosis.worth.endings import stopped_on
from faultleaf.layout import Chart, ChartExit, in_brief, label_plan, outline
from faultleaf.layout.label import AFTER_STOP, MENDED, STOP_STANDS
from faultleaf.layout.ways import ways_of

from tests.library import make_library
from tests.stopping import CARDS, CHART, box


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return make_library(tmp_path_factory.mktemp("cards"), CARDS)


@pytest.fixture(scope="module")
def problem(library: Library) -> Problem:
    return compile_problem(library, ["stops"])


@pytest.fixture(scope="module")
def chart(library: Library, problem: Problem) -> Chart:
    return label_plan(CHART, problem, library, "stops", {})


def after(chart: Chart, name: str, label: str) -> str:
    """The id of the box that this answer leads to."""
    (found,) = [way.target for way in chart.by_id()[name].exits if label in way.label]
    return found or ""


def test_an_outcome_that_stops_leads_to_a_stop_with_what_may_follow(chart: Chart, library: Library) -> None:
    halt = chart.by_id()[after(chart, "b1", "No water")]
    dry = library.cautions["dry"]
    assert halt.action == f"STOP. {dry.key}: {dry.order}."
    assert halt.stops == ("dry",)
    assert halt.how == f"Call: {library.site.call}."
    assert halt.exits == (ChartExit(AFTER_STOP, "b2", 1.0),)
    assert halt.link == "../cautions/index.html#dry"


@pytest.mark.parametrize(("order", "left"), [("let it cool", True), ("let it cool, call service", False)])
def test_a_stop_in_brief_leaves_whom_to_call_to_an_order_that_says_it(
    library: Library, problem: Problem, order: str, left: bool
) -> None:
    dry = library.cautions["dry"].model_copy(update={"order": order})
    told = replace(library, cards={**library.cards, ("caution", "dry"): dry})
    chart = label_plan(CHART, problem, told, "stops", {})
    name = after(chart, "b1", "No water")
    assert chart.by_id()[name].how == f"Call: {library.site.call}."
    assert in_brief(chart).by_id()[name].how == (chart.by_id()[name].how if left else "")


def test_handing_on_at_a_stop_is_an_end_of_its_own(chart: Chart) -> None:
    end = chart.by_id()[after(chart, "b2", "Damaged")]
    assert (end.symbol, end.exits) == ("terminal", ())
    assert end.action.startswith("STOP.")
    last = chart.by_id()["b7"]
    assert last.action.startswith("Hand on")
    assert last.how == ""  # nobody comes to it from a stop


def test_a_cause_that_others_repair_ends_the_call_and_what_lies_behind_it_is_not_drawn(chart: Chart) -> None:
    run = chart.by_id()["b4"]
    assert run.does == ("valve",)
    named = chart.by_id()[after(chart, "b4", "Still there")]
    assert (named.symbol, named.exits, named.does) == ("terminal", (), ())
    assert named.action.startswith("Cause named: ")
    assert named.how.endswith("to quote.")
    assert "b5" not in chart.by_id()


def test_a_hand_on_that_is_come_to_from_a_stop_too_says_so(library: Library, problem: Problem) -> None:
    boxes = {one.id: one for one in CHART.boxes}
    boxes["b2"] = box("b2", "test", ("cold-look",), sound="b6", damaged="b6")
    mixed = label_plan(replace(CHART, boxes=tuple(boxes.values())), problem, library, "stops", {})
    assert mixed.by_id()["b7"].how == STOP_STANDS


def test_the_outline_tells_the_stop(chart: Chart) -> None:
    (first, *_) = outline(chart)
    assert any("No water" in way.words for way in first.exits)
    told = [step for step in outline(chart) if step.actions[0].startswith("STOP.")]
    assert len(told) == 2
    assert all(step.how.startswith("Call: ") for step in told)


def test_an_instrument_is_mended_first(library: Library, problem: Problem) -> None:
    """A repair that cures nothing here and sets a finding: it cannot end the call as cured."""
    place = problem.repair_index["lead"]
    mender = replace(problem.repairs[place], fixes=problem.repairs[place].fixes * 0, restore={"hold": "stays"})
    mending = replace(problem, repairs=tuple(mender if one.id == "lead" else one for one in problem.repairs))
    ways = (box("b1", "repair", ("lead",), cured=None, still_there="b2"), box("b2", HAND_ON, ()))
    first = label_plan(Plan(ways, "b1", 0.0, 0.0), mending, library, "stops", {}).boxes[0]
    assert first.action.startswith("Mend this first: ")
    assert first.exits == (ChartExit(MENDED, "b2", 0.0),)


@pytest.mark.parametrize("boxes", range(4, 10))
def test_no_box_of_a_plan_is_forbidden_by_a_stop_on_a_way_to_it(problem: Problem, boxes: int) -> None:
    drawn = plan(problem, boxes)
    for name, sets in stopped_on(problem, drawn).entering.items():
        steps = next(one.steps for one in drawn.boxes if one.id == name)
        for active in sets:
            for stop in problem.stops:
                if (stop.test, stop.outcome) in active:
                    assert set(steps) <= stop.allows
    assert {one.id for one in ways_of(drawn, problem).boxes} <= {one.id for one in drawn.boxes}
