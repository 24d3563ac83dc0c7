"""Charts that need more than one sheet."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from faultleaf.layout import Chart, ChartBox, DoesNotFit, Frame, lay_out, lay_out_sheets, reading_order
from faultleaf.layout.fit import Measured, goals, whole_job
from faultleaf.layout.fold import fold
from faultleaf.layout.metrics import Rulers
from faultleaf.layout.stack import Stack
from faultleaf.layout.style import Style
from faultleaf.pipeline.fonts import load_metrics

from tests.layout.charts import OVERFILL, SMALL, box, way

METRICS = load_metrics()
FRAME = Frame(190, 120)


def test_a_chart_that_fits_stays_on_one_sheet() -> None:
    assert lay_out_sheets(SMALL, METRICS, FRAME) == (lay_out(SMALL, METRICS, FRAME),)


def test_a_large_chart_is_cut_into_numbered_sheets_of_legible_type() -> None:
    assert lay_out(OVERFILL, METRICS, FRAME).type_pt < 10.0
    sheets = lay_out_sheets(OVERFILL, METRICS, FRAME)
    assert [(one.sheet, one.sheets) for one in sheets] == [(1, 2), (2, 2)]
    assert all(one.type_pt >= 10.0 for one in sheets)
    shown = [one.box.id for sheet in sheets for one in sheet.boxes if one.box.number]
    assert shown == [place.box.id for place in reading_order(OVERFILL)]


def test_exits_to_another_sheet_name_it() -> None:
    sheets = lay_out_sheets(OVERFILL, METRICS, FRAME)
    sheet_of = {one.box.id: sheet.sheet for sheet in sheets for one in sheet.boxes}
    named = 0
    for sheet in sheets:
        for way_out in (way_out for one in sheet.boxes for way_out in one.exits if way_out.target):
            other = sheet_of[way_out.target or ""]
            words = "".join(line.text for line in way_out.beside)
            assert words == ("" if other == sheet.sheet else f"sheet {other}")
            named += other != sheet.sheet
    assert named >= 2


@pytest.mark.parametrize("height", [60, 70, 90, 120, 150])
def test_no_other_cuts_into_as_few_sheets_are_turned_by_fewer_calls(height: int) -> None:
    """Against every way to cut the order of reading (slow)."""
    order = [place.box for place in reading_order(OVERFILL)]
    sheets = lay_out_sheets(OVERFILL, METRICS, Frame(190, height))
    ours = [len([one for one in sheet.boxes if one.box.number]) for sheet in sheets]
    job = whole_job(OVERFILL, Rulers(METRICS), Frame(190, height))
    goal = goals(OVERFILL, {box.id: 15 for box in OVERFILL.boxes})
    pile = Measured(Stack(Style(Rulers(METRICS), 1.0, 1.0), goal, job.places), cut=True)
    # Place 0 is the start terminal: the first box is place 1.
    fits = {(a, b): fold(pile, a, b, job.room(10.0)) is not None for a, b in combinations([0, *range(2, 17)], 2)}
    options = [(0, *cuts, 16) for count in range(len(ours)) for cuts in combinations(range(2, 16), count)]
    possible = [cuts for cuts in options if all(fits[part] for part in pairwise(cuts))]
    assert {len(cuts) for cuts in possible} == {len(ours) + 1}
    parts = [[slice(max(a, 1) - 1, b - 1) for a, b in pairwise(cuts)] for cuts in possible]
    best = min(sum(turned(order[part]) for part in cut) for cut in parts)
    starts = [sum(ours[:i]) for i in range(len(ours))]
    assert sum(turned(order[a : a + n]) for a, n in zip(starts, ours, strict=True)) == pytest.approx(best)


def turned(here: list[ChartBox]) -> float:
    """The share of calls that leave these boxes for a box elsewhere."""
    ids = {one.id for one in here} | {None}
    return sum(one.reach * exit_.share for one in here for exit_ in one.exits if exit_.target not in ids)


def test_a_box_that_does_not_fit_a_sheet_is_told() -> None:
    long = Chart("t", "", (box(1, "word " * 400, "", way("x", 2, 1.0)), box(2, "b")), "b1")
    with pytest.raises(DoesNotFit, match="a box does not fit 100 x 60 mm in type of 10 pt"):
        lay_out_sheets(long, METRICS, Frame(100, 60))
