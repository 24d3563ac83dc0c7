"""Laws that every drawn chart obeys, checked on named charts, on 300 random ones (a tenth in the suite), and on all
that ship."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest
from faultleaf.diagnosis import compile_problem
from faultleaf.intake import Layer, read_library
from faultleaf.layout import Chart, Frame, PlacedChart, draw_svg, in_brief, label_plan, lay_out, lay_out_sheets
from faultleaf.pipeline.figures import figure_all
from faultleaf.pipeline.fonts import load_metrics
from faultleaf.pipeline.shelf import PLANNED, Kept

from tests.counts import one_in
from tests.layout import charts, laws

METRICS = load_metrics()
NAMED = {"small": charts.SMALL, "overfill": charts.OVERFILL}
FRAMES = (Frame(190, 235), Frame(190, 170), Frame(257, 120))
CONTENT = Path(__file__).parents[2] / "content"
BUDGETS = (6, 8, 10)


def chart_of(case: str | int) -> Chart:
    return NAMED[case] if isinstance(case, str) else charts.random_chart(case)


def check(chart: Chart, placed: PlacedChart, frame: Frame) -> None:
    laws.check(chart, placed)
    assert {one.box.id for one in placed.boxes if one.box.number} == set(chart.by_id())
    assert placed.width <= frame.width_mm + laws.HAIR
    assert placed.height <= frame.height_mm + laws.HAIR


@pytest.mark.parametrize("case", [*NAMED, *one_in(10, range(300))])
def test_named_and_random_charts(case: str | int) -> None:
    frame = FRAMES[case % 3] if isinstance(case, int) else FRAMES[0]
    check(chart_of(case), lay_out(chart_of(case), METRICS, frame), frame)


@pytest.mark.parametrize("case", one_in(3, range(0, 300, 10)))
def test_sheets_of_random_charts(case: int) -> None:
    chart = chart_of(case)
    sheets = lay_out_sheets(chart, METRICS, FRAMES[0])
    shown = [one.box.id for sheet in sheets for one in sheet.boxes if one.box.number]
    assert sorted(shown) == sorted(chart.by_id())
    for sheet in sheets:
        laws.check(chart, sheet)
        assert sheet.type_pt >= 10.0
        assert sheet.width <= FRAMES[0].width_mm + laws.HAIR
        assert sheet.height <= FRAMES[0].height_mm + laws.HAIR


@pytest.mark.parametrize("case", range(5, 300, 20))
def test_repairs_told_by_their_causes_alone(case: int) -> None:
    chart = in_brief(chart_of(case))
    check(chart, lay_out(chart, METRICS, FRAMES[case % 3]), FRAMES[case % 3])


def test_all_that_ship() -> None:
    library = read_library([Layer(CONTENT, "content")]).library
    assert library is not None
    frame = Frame(190, 190)
    laid = 0
    for symptom in library.symptoms.values():
        for equipment in symptom.variants.values():
            problem = compile_problem(library, [symptom.id], equipment=equipment)
            (figures,) = figure_all([problem], Kept(None, (CONTENT / PLANNED,)))
            for plan in (plan for boxes, plan in figures.plans.items() if boxes in BUDGETS):
                chart = label_plan(plan, problem, library, symptom.id, equipment)
                check(chart, lay_out(chart, METRICS, frame), frame)
                brief = in_brief(chart)
                check(brief, lay_out(brief, METRICS, frame), frame)
                laid += 1
    assert laid >= 3 * len(library.symptoms)


@pytest.mark.parametrize("case", [*NAMED, *range(0, 300, 30)])
def test_the_drawing_does_not_depend_on_the_order_in_which_boxes_are_given(case: str | int) -> None:
    chart = chart_of(case)
    boxes = list(chart.boxes)
    random.Random(1).shuffle(boxes)
    again = lay_out(replace(chart, boxes=tuple(boxes)), METRICS, FRAMES[0])
    assert draw_svg(again) == draw_svg(lay_out(chart, METRICS, FRAMES[0]))
