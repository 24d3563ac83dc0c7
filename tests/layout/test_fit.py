"""The arrangement that is chosen."""

from __future__ import annotations

from dataclasses import replace

import pytest
from faultleaf.layout import Chart, DoesNotFit, Frame, PlacedChart, lay_out, lay_out_turned
from faultleaf.layout.metrics import MM_PER_PT
from faultleaf.pipeline.fonts import load_metrics

from tests.layout.charts import OVERFILL, SMALL, box

METRICS = load_metrics()


def sizes_pt(placed: PlacedChart) -> set[float]:
    """All sizes of type in the drawing."""
    symbols = [s for one in placed.boxes for s in (one.outline, *one.marks, *(w.end for w in one.exits if w.end))]
    lines = [line for symbol in symbols for line in symbol.texts]
    lines += [line for one in placed.boxes for way in one.exits for line in (*way.label, *way.beside)]
    return {round(line.size / MM_PER_PT, 6) for line in lines}


def test_a_small_chart_gets_the_type_we_aim_at() -> None:
    # STANDARDS, section 1: questions 14 pt (Noto Sans: x-height 2.65 mm; wanted 2.54), other text 12 pt.
    placed = lay_out(SMALL, METRICS, Frame(190, 235))
    assert (placed.type_pt, placed.question_pt) == (12.0, 14.0)
    assert sizes_pt(placed) == {12.0, 14.0}


def test_a_chart_of_fifteen_boxes_stays_legible_on_a_sheet() -> None:
    placed = lay_out(OVERFILL, METRICS, Frame(190, 215))
    assert placed.type_pt >= 10.0  # CAP 676, at second hand: never below
    assert min(sizes_pt(placed)) >= 10.0


@pytest.mark.parametrize("chart", [SMALL, OVERFILL])
def test_more_room_never_makes_the_type_smaller(chart: Chart) -> None:
    sizes = [lay_out(chart, METRICS, Frame(190, height)).type_pt for height in (60, 90, 120, 160, 200, 240, 400)]
    assert [min(int(size * 2) / 2, 10.0) for size in sizes] == sorted(min(int(size * 2) / 2, 10.0) for size in sizes)


def test_whole_words_are_worth_more_than_larger_type() -> None:
    question = replace(SMALL.boxes[0], question="Wasserstandsbegrenzerprüfung " * 3)
    placed = lay_out(replace(SMALL, boxes=(question, *SMALL.boxes[1:])), METRICS, Frame(70, 235))
    assert placed.cut_words == 0
    assert placed.type_pt >= 10.0


def test_where_large_questions_would_make_the_rest_illegible_they_are_given_up() -> None:
    frames = [Frame(width, height) for width in (180, 185, 190, 195) for height in range(196, 230, 3)]
    legible = [one for one in (lay_out(OVERFILL, METRICS, frame) for frame in frames) if one.type_pt >= 10.0]
    even = [one for one in legible if one.question_pt == one.type_pt]
    assert 0 < len(even) < len(legible)
    assert all(one.type_pt < 11.0 for one in even)  # with more room the questions are large again


def test_of_a_page_upright_and_turned_the_one_is_taken_that_reads_best() -> None:
    frames = (Frame(190, 150), Frame(257, 90))
    index, placed = lay_out_turned(OVERFILL, METRICS, frames)
    each = [lay_out(OVERFILL, METRICS, frame) for frame in frames]
    assert placed == each[index]
    assert placed.type_pt == max(one.type_pt for one in each)


def test_a_frame_that_holds_nothing_is_said_to_be_too_small() -> None:
    small = Chart("Title", "", (box(1, "Look"),), "b1")
    with pytest.raises(DoesNotFit, match=r"1 boxes do not fit 20 x 1 mm at any size"):
        lay_out(small, METRICS, Frame(20, 1))
    with pytest.raises(DoesNotFit, match=r"1 boxes do not fit any of 2 frames at any size"):
        lay_out_turned(small, METRICS, (Frame(20, 1), Frame(1, 20)))
