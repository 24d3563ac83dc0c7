"""The printed charts as graphs, so that a call can show where on its chart it stands."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from faultleaf.cards import Library
from faultleaf.cards.urls import chart_url
from faultleaf.diagnosis import HAND_ON, STILL_THERE, Box, Plan, Problem
from faultleaf.export.engine import data_script
from faultleaf.layout import label_plan
from faultleaf.layout.label import named_id
from faultleaf.layout.ways import Ways, ways_of


@dataclass(frozen=True)
class PrintedChart:
    """The plan of one variant of a symptom."""

    symptom: str
    variant: str
    equipment: Mapping[str, str]
    problem: Problem
    plan: Plan


def chart_scripts(library: Library, charts: Iterable[PrintedChart]) -> dict[str, str]:
    """A script for each symptom with charts: the file `charts/ID.js` assigns `faultleafData["charts/ID"]`."""
    found: dict[str, list[dict[str, Any]]] = {}
    for chart in charts:
        found.setdefault(chart.symptom, []).append(_chart(library, chart))
    return {f"charts/{name}.js": data_script(f"charts/{name}", each) for name, each in sorted(found.items())}


def _chart(library: Library, chart: PrintedChart) -> dict[str, Any]:
    """The boxes in the order of the printed numbers, each exit with the number it leads to (null: cured).

    A STOP after which something may still be done is passed on the way to that; one at which the call is handed on
    is a box of kind "stop", and a cause that others repair one of kind "named".
    """
    drawn = label_plan(chart.plan, chart.problem, library, chart.symptom, chart.equipment)
    ways = ways_of(chart.plan, chart.problem)
    numbers = {box.id: box.number for box in drawn.boxes}
    hand_on = next((numbers[box.id] for box in ways.boxes if box.kind == HAND_ON and box.id in numbers), None)
    boxes = {numbers[box.id]: _box(box, ways, numbers, hand_on) for box in ways.boxes if box.id in numbers}
    for box, step in ways.named.items():
        number = numbers[named_id(box) if ways.own[box] else box]
        boxes[number] = {"number": number, "kind": "named", "steps": [step], "exits": {}}
    for halt in ways.halts.values():
        if halt.then is None:
            boxes[numbers[halt.id]] = {"number": numbers[halt.id], "kind": "stop", "steps": [], "exits": {}}
    root = numbers[chart.plan.root]
    return {
        "name": chart.variant,
        "equipment": dict(chart.equipment),
        "url": chart_url(library.symptoms[chart.symptom], chart.variant),
        "boxes": [boxes[number] for number in sorted(boxes, key=lambda number: (number != root, number))],
    }


def _box(box: Box, ways: Ways, numbers: Mapping[str, int], hand_on: int | None) -> dict[str, Any]:
    """One box of the plan, with the repairs that are done here alone."""
    steps = ways.own.get(box.id, box.steps)
    exits = {}
    for way in box.exits:
        if (box.id, way.outcome) in ways.goals:
            goal = ways.goals[box.id, way.outcome]
            halt = ways.halts.get(goal or "")
            goal = halt.then if halt and halt.then else goal
            exits[way.outcome] = None if goal is None else numbers.get(goal, hand_on)
    if box.id in ways.named and ways.own[box.id]:
        exits[STILL_THERE] = numbers[named_id(box.id)]
    return {"number": numbers[box.id], "kind": box.kind, "steps": steps, "exits": exits}
