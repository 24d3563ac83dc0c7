"""The printed charts as graphs, so that a call can show where on its chart it stands."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from faultleaf.cards import Library
from faultleaf.cards.urls import chart_url
from faultleaf.diagnosis import Plan
from faultleaf.export.engine import data_script
from faultleaf.layout import label_plan


@dataclass(frozen=True)
class PrintedChart:
    """The plan of one variant of a symptom."""

    symptom: str
    variant: str
    equipment: Mapping[str, str]
    plan: Plan


def chart_scripts(library: Library, charts: Iterable[PrintedChart]) -> dict[str, str]:
    """A script for each symptom with charts: the file `charts/ID.js` assigns `faultleafData["charts/ID"]`."""
    found: dict[str, list[dict[str, Any]]] = {}
    for chart in charts:
        found.setdefault(chart.symptom, []).append(_chart(library, chart))
    return {f"charts/{name}.js": data_script(f"charts/{name}", each) for name, each in sorted(found.items())}


def _chart(library: Library, chart: PrintedChart) -> dict[str, Any]:
    """The boxes in the order of the printed numbers, each exit with the number it leads to (null: cured)."""
    drawn = label_plan(chart.plan, library, chart.symptom, chart.equipment)
    numbers = {box.id: box.number for box in drawn.boxes}
    boxes = sorted(chart.plan.boxes, key=lambda box: (box.id != chart.plan.root, numbers[box.id]))
    return {
        "name": chart.variant,
        "equipment": dict(chart.equipment),
        "url": chart_url(library.symptoms[chart.symptom], chart.variant),
        "boxes": [
            {
                "number": numbers[box.id],
                "kind": box.kind,
                "steps": box.steps,
                "exits": {way.outcome: numbers[way.target] if way.target else None for way in box.exits},
            }
            for box in boxes
        ],
    }
