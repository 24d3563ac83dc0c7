"""Every symptom → its problem, belief, figures and drawn charts."""

from dataclasses import dataclass
from typing import Final

from faultleaf.cards import Library, Symptom
from faultleaf.cards.urls import slug
from faultleaf.diagnosis import UNLISTED, Problem, Worth, believe, compile_problem
from faultleaf.diagnosis.worth.endings import endings
from faultleaf.diagnosis.worth.figured import USUAL, Effort
from faultleaf.graph import undistinguished
from faultleaf.layout import Fitting, FontMetrics, Frame, draw_svg, in_brief, label_plan, outline
from faultleaf.pages import WorkedSymptom, WorkedVariant
from faultleaf.pipeline.figures import figure_all
from faultleaf.pipeline.fonts import FONT_FOLDER
from faultleaf.pipeline.sheets import charted, choose_all, gone_on, worth_of
from faultleaf.pipeline.shelf import NOTHING_KEPT, Kept
from faultleaf.sheets import LETTER, Fronts, Maker, Press, make_sheet

SHEET_FRAME: Final = Frame(190.0, 180.0)
"""Room for the chart on the page that a browser prints (mm): what Letter and A4 leave beside margins, cautions and
notice. The PDF measures its own room."""


@dataclass(frozen=True, eq=False)
class Worked:
    """What the pages show of every symptom, by its id, and the sheets of all variants in the same order."""

    symptoms: dict[str, WorkedSymptom]
    fronts: tuple[Fronts, ...]


def work_library(
    library: Library, metrics: FontMetrics, kept: Kept = NOTHING_KEPT, effort: Effort = USUAL
) -> dict[str, WorkedSymptom]:
    """Everything the pages show of every symptom (`work_everything`)."""
    return work_everything(library, Maker(Press(FONT_FOLDER), metrics), kept, effort).symptoms


def work_everything(library: Library, maker: Maker, kept: Kept = NOTHING_KEPT, effort: Effort = USUAL) -> Worked:
    """Everything of every symptom; an emergency has no plan, hence no chart.

    `kept` says where results from before are, `effort` how much work the figures may take (`figure_all`).
    Raises PlanError where a variant has no plan, SheetError where none fits a sheet.
    """
    asked = charted(library)
    figures = figure_all(tuple(asked.values()), kept, effort)
    fronts = gone_on(choose_all(library, asked, figures, maker), maker, kept)
    worked: dict[str, list[WorkedVariant]] = {name: [] for name in library.symptoms}
    for ((owner, name), problem), found, each in zip(asked.items(), figures, fronts, strict=True):
        worth = worth_of(library.symptoms[owner], name, found)
        worked[owner].append(_work_variant(library, problem, worth, each, maker))
    symptoms = {name: _work_symptom(library, library.symptoms[name], tuple(each)) for name, each in worked.items()}
    return Worked(symptoms, tuple(fronts))


def _work_symptom(library: Library, symptom: Symptom, variants: tuple[WorkedVariant, ...]) -> WorkedSymptom:
    problem = compile_problem(library, [symptom.id])
    return WorkedSymptom(symptom, problem, believe(problem, {}), variants)


def _work_variant(library: Library, problem: Problem, worth: Worth, fronts: Fronts, maker: Maker) -> WorkedVariant:
    front = fronts[LETTER.name]  # the same on all papers
    one = front.drawn
    # The page has no other side: its chart ends where the plan does.
    chart = label_plan(one.plan, problem, library, one.job.symptom.id, one.job.equipment)
    shown = chart if front.acts else in_brief(chart)
    (placed,) = Fitting(shown, maker.metrics, [SHEET_FRAME], maker.memory).placed()
    return WorkedVariant(
        one.job.variant,
        one.job.equipment,
        problem,
        believe(problem, {}),
        one.plan,
        endings(problem, one.plan),
        draw_svg(placed, prefix=f"step-{slug(one.job.variant)}"),
        outline(chart),
        placed.type_pt,
        worth,
        _alike(library, problem),
        {paper: make_sheet(front, maker, back=True) for paper, front in fronts.items()},
    )


def _alike(library: Library, problem: Problem) -> tuple[tuple[str, str], ...]:
    """The causes that no test at hand tells apart, in pairs."""
    faults = [library.faults[name] for name in dict.fromkeys(problem.causes) if name != UNLISTED]
    tests = {test.id for test in problem.tests if test.offered}
    return tuple((one.id, other.id) for one, other in undistinguished(library, faults, tests))
