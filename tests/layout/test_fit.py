"""The arrangement that is chosen."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from faultleaf.layout import Chart, DoesNotFit, Frame, lay_out, lay_out_legible
from faultleaf.pipeline.fonts import load_metrics

from tests.layout.charts import OVERFILL, SMALL, box

METRICS = load_metrics()


def test_a_small_chart_gets_the_type_we_aim_at() -> None:
    placed = lay_out(SMALL, METRICS, Frame(190, 235))
    assert placed.type_pt == 12.0
    assert placed.how_shown
    questions = [line for unit in placed.units for s in unit.symbols if s.shape == "annotation" for line in s.texts]
    assert {round(line.size / 25.4 * 72, 6) for line in questions} == {14.0}


def test_a_chart_of_fifteen_boxes_stays_legible_on_a_large_sheet() -> None:
    assert lay_out(OVERFILL, METRICS, Frame(277, 270)).type_pt >= 10.0


@pytest.mark.parametrize("chart", [SMALL, OVERFILL])
def test_more_room_never_makes_the_type_smaller(chart: Chart) -> None:
    sizes = [lay_out(chart, METRICS, Frame(190, height)) for height in (120, 160, 200, 240, 280, 400)]
    steps = [min(int(placed.type_pt * 2) / 2, 10.0) + placed.how_shown for placed in sizes]
    assert steps == sorted(steps)


def test_methods_are_left_out_only_where_that_makes_the_type_legible() -> None:
    frame = Frame(190, 95)
    long = replace(SMALL, boxes=tuple(replace(one, how="Stand aside of the glass. " * 14) for one in SMALL.boxes))
    placed = lay_out(long, METRICS, frame)
    assert not placed.how_shown
    assert placed.type_pt >= 10.0
    assert lay_out(long, METRICS, Frame(190, 400)).how_shown


def test_whole_words_are_worth_more_than_larger_type() -> None:
    long = Chart("Wasserstandsbegrenzerprüfung", "", tuple(replace(one, id=one.id) for one in SMALL.boxes), "b1")
    placed = lay_out(long, METRICS, Frame(120, 260))
    assert placed.cut_words == 0


def test_lines_are_at_least_a_quarter_apart() -> None:
    placed = lay_out(OVERFILL, METRICS, Frame(190, 235))
    for unit in placed.units:
        for symbol in unit.symbols:
            for upper, lower in combinations(sorted(symbol.texts, key=lambda line: line.y), 2):
                beside = lower.x >= upper.x + upper.width or upper.x >= lower.x + lower.width
                assert beside or lower.y - upper.y >= 1.25 * min(upper.size, lower.size) - 1e-6


def test_of_several_charts_the_first_legible_one_is_taken() -> None:
    frame = Frame(190, 200)
    index, placed = lay_out_legible([OVERFILL, SMALL, SMALL], METRICS, frame)
    assert (index, placed) == (1, lay_out(SMALL, METRICS, frame))
    assert lay_out_legible([OVERFILL, SMALL], METRICS, Frame(277, 400))[0] == 0


def test_where_no_chart_is_legible_the_largest_type_is_taken() -> None:
    index, placed = lay_out_legible([OVERFILL, SMALL], METRICS, Frame(90, 90))
    assert index == 1
    assert placed.type_pt < 10.0
    with pytest.raises(DoesNotFit, match="none of 2 charts fits 10 x 2 mm"):
        lay_out_legible([OVERFILL, SMALL], METRICS, Frame(10, 2))


def test_a_frame_that_holds_nothing_is_said_to_be_too_small() -> None:
    with pytest.raises(DoesNotFit, match=r"1 boxes do not fit 20 x 1 mm at any size"):
        lay_out(Chart("Title", "", (box(1, "Look"),), "b1"), METRICS, Frame(20, 1))
