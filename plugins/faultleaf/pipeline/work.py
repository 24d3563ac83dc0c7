"""A symptom → its problem, belief, plans and drawn charts."""

from collections.abc import Mapping
from typing import Final

from faultleaf.cards import Library, Symptom
from faultleaf.cards.urls import slug
from faultleaf.diagnosis import Plan, PlanError, Problem, believe, compile_problem, plans
from faultleaf.layout import (
    Chart,
    DoesNotFit,
    FontMetrics,
    Frame,
    PlacedChart,
    draw_svg,
    label_plan,
    lay_out,
    outline,
)
from faultleaf.pages import WorkedSymptom, WorkedVariant

SHEET_FRAME: Final = Frame(190.0, 140.0)
"""Room for the chart on a sheet (mm): what both Letter and A4 leave beside margins, cautions and notice.

Measured on the library's sheets: 152 to 176 mm; 132 to 144 mm where local notices are long, and there the
chart is printed a little smaller.
"""

BUDGETS: Final = tuple(range(5, 10))
LEAST_TYPE_PT: Final = 8.25
"""A sheet's type is never smaller while a smaller box budget can still help.

CAP 676 asks for 10 pt (STANDARDS). In the room that cautions and notice leave, 10 pt cuts half of the charts
down to handing on; the typeset sheets are to do better.
"""


def work_symptom(library: Library, symptom: Symptom, metrics: FontMetrics) -> WorkedSymptom:
    """Everything the pages show of a symptom; an emergency has no plan, hence no chart."""
    problem = compile_problem(library, [symptom.id])
    variants = [] if symptom.emergency else symptom.variants.items()
    return WorkedSymptom(
        symptom,
        problem,
        believe(problem, {}),
        tuple(_work_variant(library, symptom, name, equipment, metrics) for name, equipment in variants),
    )


def _work_variant(
    library: Library, symptom: Symptom, name: str, equipment: Mapping[str, str], metrics: FontMetrics
) -> WorkedVariant:
    problem = compile_problem(library, [symptom.id], equipment=equipment)
    drawn, chart, placed = _fitting_plan(library, symptom, equipment, problem, metrics)
    return WorkedVariant(
        name,
        equipment,
        problem,
        believe(problem, {}),
        drawn,
        draw_svg(placed, prefix=f"step-{slug(name)}"),
        outline(chart),
        placed.type_pt,
    )


def _fitting_plan(
    library: Library, symptom: Symptom, equipment: Mapping[str, str], problem: Problem, metrics: FontMetrics
) -> tuple[Plan, Chart, PlacedChart]:
    """The plan with the most boxes whose type stays legible; else the one with the largest type.

    Raises PlanError where no plan fits a sheet.
    """
    best: tuple[Plan, Chart, PlacedChart] | None = None
    for _, drawn in sorted(plans(problem, BUDGETS).items()):
        chart = label_plan(drawn, library, symptom.id, equipment)
        try:
            placed = lay_out(chart, metrics, SHEET_FRAME)
        except DoesNotFit:
            continue
        if best is None or placed.type_pt >= min(LEAST_TYPE_PT, best[2].type_pt):
            best = drawn, chart, placed
    if best is None:
        raise PlanError(f"{symptom.id}: no plan for {dict(equipment)} fits a sheet")
    return best
