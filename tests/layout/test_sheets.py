"""Charts that need more than one sheet."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from faultleaf.layout import Chart, DoesNotFit, Frame, lay_out, lay_out_sheets, reading_order
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


def test_the_cut_is_where_fewest_calls_turn_the_page() -> None:
    """Of all pairs of sheets that fit, no other is turned by fewer calls (slow: each half is laid out by itself)."""
    order = [place.box for place in reading_order(OVERFILL)]
    sheets = lay_out_sheets(OVERFILL, METRICS, FRAME)
    first = len([one for one in sheets[0].boxes if one.box.number])
    turned = [sum(_turned(order[:cut], order[cut:])) + sum(_turned(order[cut:], order[:cut])) for cut in range(1, 15)]
    better = [cut for cut in range(1, 15) if turned[cut - 1] < turned[first - 1] - 1e-9]
    fits = [cut for cut in better if all(_fits(part) for part in (order[:cut], order[cut:]))]
    assert fits == []


def _turned(here: list, there: list) -> list[float]:  # type: ignore[type-arg]
    ids = {one.id for one in there}
    return [one.reach * exit_.share for one in here for exit_ in one.exits if exit_.target in ids]


def _fits(boxes: list) -> bool:  # type: ignore[type-arg]
    """Whether these boxes alone fit a sheet legibly, as one path with all their exits as they are."""
    return len(lay_out_sheets(_alone(boxes), METRICS, FRAME)) == 1


def test_a_box_that_does_not_fit_a_sheet_is_told() -> None:
    long = Chart("t", "", (box(1, "word " * 400, "", way("x", 2, 1.0)), box(2, "b")), "b1")
    with pytest.raises(DoesNotFit, match="a box does not fit 100 x 60 mm in type of 10 pt"):
        lay_out_sheets(long, METRICS, Frame(100, 60))
