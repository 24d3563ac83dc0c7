"""Every symptom → its problem, belief, figures and drawn charts."""

from pathlib import Path
from typing import Final

from faultleaf.cards import Library, Symptom
from faultleaf.cards.urls import slug
from faultleaf.diagnosis import UNLISTED, Figured, PlanError, Problem, believe, compile_problem
from faultleaf.diagnosis.worth import USUAL, Effort
from faultleaf.graph import undistinguished
from faultleaf.layout import FontMetrics, Frame, draw_svg, lay_out, outline
from faultleaf.pages import WorkedSymptom, WorkedVariant
from faultleaf.pipeline.figures import figure_all
from faultleaf.pipeline.fonts import FONT_FOLDER
from faultleaf.pipeline.sheets import sheet_job
from faultleaf.sheets import LETTER, Maker, Press, choose, make_sheet

SHEET_FRAME: Final = Frame(190.0, 140.0)
"""Room for the chart on the page that a browser prints (mm): what Letter and A4 leave beside margins, cautions and
notice. The PDF measures its own room."""

def work_library(
    library: Library, metrics: FontMetrics, kept: Path | None = None, effort: Effort = USUAL
) -> dict[str, WorkedSymptom]:
    """Everything the pages show of every symptom; an emergency has no plan, hence no chart.

    `kept` is a folder of results from before, `effort` how much work the figures may take (`figure_all`).
    Raises PlanError where a variant has no plan, SheetError where none fits a sheet.
    """
    asked = {
        (symptom.id, name): compile_problem(library, [symptom.id], equipment=equipment)
        for symptom in library.symptoms.values()
        for name, equipment in symptom.variants.items()
        if not symptom.emergency
    }
    maker = Maker(Press(FONT_FOLDER), metrics)
    figures = dict(zip(asked, figure_all(tuple(asked.values()), kept, effort), strict=True))
    return {
        symptom.id: _work_symptom(
            library,
            symptom,
            tuple(
                _work_variant(library, symptom, name, problem, figures[symptom.id, name], maker)
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
    library: Library, symptom: Symptom, name: str, problem: Problem, figures: Figured, maker: Maker
) -> WorkedVariant:
    if figures.worth is None:
        raise PlanError(f"{symptom.id}: there is no plan for '{name}'")
    fronts = choose(sheet_job(library, symptom, name, figures.plans, figures.worth), maker)
    one = fronts[LETTER.name].drawn  # the same on all papers
    placed = lay_out(one.chart, maker.metrics, SHEET_FRAME)
    return WorkedVariant(
        name,
        symptom.variants[name],
        problem,
        believe(problem, {}),
        one.plan,
        draw_svg(placed, prefix=f"step-{slug(name)}"),
        outline(one.chart),
        placed.type_pt,
        figures.worth,
        _alike(library, problem),
        {paper: make_sheet(front, maker, back=True) for paper, front in fronts.items()},
    )


def _alike(library: Library, problem: Problem) -> tuple[tuple[str, str], ...]:
    """The causes that no test at hand tells apart, in pairs."""
    faults = [library.faults[name] for name in problem.faults if name != UNLISTED]
    tests = {test.id for test in problem.tests if test.offered}
    return tuple((one.id, other.id) for one, other in undistinguished(library, faults, tests))
