"""export/charts.py: the printed chart as a graph, with its stops and the causes that others repair."""

import json
from typing import Any

import pytest
from faultleaf.diagnosis import compile_problem
from faultleaf.export.charts import PrintedChart, chart_scripts
from faultleaf.layout import label_plan

from tests.library import make_library
from tests.stopping import CARDS, CHART


@pytest.fixture(scope="module")
def boxes(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """The exported boxes by the ids of the drawn chart."""
    library = make_library(tmp_path_factory.mktemp("cards"), {**CARDS, "symptoms/stops": {"variants": {"any": {}}}})
    problem = compile_problem(library, ["stops"])
    (script,) = chart_scripts(library, [PrintedChart("stops", "any", {}, problem, CHART)]).values()
    (chart,) = json.loads(script.partition("] = ")[2].rstrip(";\n"))
    numbers = {box.number: box.id for box in label_plan(CHART, problem, library, "stops", {}).boxes}
    assert chart["boxes"][0]["number"] == 1
    return {numbers[box["number"]]: box for box in chart["boxes"]}


def test_a_stop_that_allows_a_step_is_passed_on_the_way_to_it(boxes: dict[str, Any]) -> None:
    assert boxes["b1"]["exits"]["empty"] == boxes["b2"]["number"]
    assert boxes["b1"]["exits"]["water"] == boxes["b3"]["number"]


def test_handing_on_at_a_stop_is_a_box_of_its_own_kind(boxes: dict[str, Any]) -> None:
    (stop,) = [box for box in boxes.values() if box["kind"] == "stop"]
    assert boxes["b2"]["exits"]["damaged"] == stop["number"]
    assert (stop["steps"], stop["exits"]) == ([], {})


def test_a_run_ends_where_others_repair(boxes: dict[str, Any]) -> None:
    (named,) = [box for box in boxes.values() if box["kind"] == "named"]
    assert named["steps"] == ["section"]
    assert boxes["b4"]["steps"] == ["valve"]
    assert boxes["b4"]["exits"] == {"cured": None, "still-there": named["number"]}


def test_every_exit_leads_to_a_box(boxes: dict[str, Any]) -> None:
    numbers = {box["number"] for box in boxes.values()}
    assert all(goal is None or goal in numbers for box in boxes.values() for goal in box["exits"].values())
