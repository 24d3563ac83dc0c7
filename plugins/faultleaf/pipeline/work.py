"""Every symptom → its problem, belief, figures and drawn charts."""

from collections.abc import Mapping
from pathlib import Path
from typing import Final

from faultleaf.cards import Library, Symptom
from faultleaf.cards.urls import slug
from faultleaf.diagnosis import UNLISTED, Figured, Plan, PlanError, Problem, believe, compile_problem
from faultleaf.diagnosis.worth import USUAL, Effort
from faultleaf.graph import undistinguished
from faultleaf.layout import (
    FLOOR_PT,
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
from faultleaf.pipeline.figures import figure_all

SHEET_FRAME: Final = Frame(190.0, 140.0)
"""Room for the chart on a sheet (mm): what both Letter and A4 leave beside margins, cautions and notice.

Measured on the library's sheets: 152 to 176 mm; 132 to 144 mm where local notices are long, and there the
chart is printed a little smaller.
"""

TRIED_ON: Final = 3
"""Larger charts are given up once so many came out too small: type falls as boxes are added, nearly always."""
LEAST_TYPE_PT: Final = FLOOR_PT
"""A sheet's type is never smaller while a smaller box budget can still help: 10 pt, as CAP 676 asks (STANDARDS)."""


def work_library(
    library: Library, metrics: FontMetrics, kept: Path | None = None, effort: Effort = USUAL
) -> dict[str, WorkedSymptom]:
    """Everything the pages show of every symptom; an emergency has no plan, hence no chart.

    `kept` is a folder of results from before, `effort` how much work the figures may take (`figure_all`).
    Raises PlanError where no plan of a variant fits a sheet.
    """
    asked = {
        (symptom.id, name): compile_problem(library, [symptom.id], equipment=equipment)
        for symptom in library.symptoms.values()
        for name, equipment in symptom.variants.items()
        if not symptom.emergency
    }
    figures = dict(zip(asked, figure_all(tuple(asked.values()), kept, effort), strict=True))
    return {
        symptom.id: _work_symptom(
            library,
            symptom,
            tuple(
                _work_variant(library, symptom, name, problem, figures[symptom.id, name], metrics)
                for (owner, name), problem in asked.items()
                if owner == symptom.id
            ),
        )
        for symptom in library.symptoms.values()
    }


def _work_symptom(library: Library, symptom: Symptom, variants: tuple[WorkedVariant, ...]) -> WorkedSymptom:
    problem = compile_problem(library, [symptom.id])
    return WorkedSymptom(symptom, problem, believe(problem, {}), variants)


def _work_variant(
    library: Library, symptom: Symptom, name: str, problem: Problem, figures: Figured, metrics: FontMetrics
) -> WorkedVariant:
    equipment = symptom.variants[name]
    fitting = _fitting_plan(library, symptom, equipment, figures.plans, metrics)
    if fitting is None or figures.worth is None:
        raise PlanError(f"{symptom.id}: no plan for {dict(equipment)} fits a sheet")
    drawn, chart, placed = fitting
    return WorkedVariant(
        name,
        equipment,
        problem,
        believe(problem, {}),
        drawn,
        draw_svg(placed, prefix=f"step-{slug(name)}"),
        outline(chart),
        placed.type_pt,
        figures.worth,
        _alike(library, problem),
    )


def _alike(library: Library, problem: Problem) -> tuple[tuple[str, str], ...]:
    """The causes that no test at hand tells apart, in pairs."""
    faults = [library.faults[name] for name in problem.faults if name != UNLISTED]
    tests = {test.id for test in problem.tests if test.offered}
    return tuple((one.id, other.id) for one, other in undistinguished(library, faults, tests))


def _fitting_plan(
    library: Library, symptom: Symptom, equipment: Mapping[str, str], plans: Mapping[int, Plan], metrics: FontMetrics
) -> tuple[Plan, Chart, PlacedChart] | None:
    """The plan with the most boxes whose type stays legible; else the one with the largest type; None where
    no plan fits a sheet."""
    best: tuple[Plan, Chart, PlacedChart] | None = None
    smaller = 0
    for _, drawn in sorted(plans.items()):
        if smaller == TRIED_ON:
            break
        chart = label_plan(drawn, library, symptom.id, equipment)
        try:
            placed = lay_out(chart, metrics, SHEET_FRAME)
        except DoesNotFit:
            continue
        if best is None or placed.type_pt >= min(LEAST_TYPE_PT, best[2].type_pt):
            best = drawn, chart, placed
        else:
            smaller += 1
    return best
