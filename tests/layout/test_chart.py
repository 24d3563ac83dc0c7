"""The chart checks itself, and is read in a fixed order."""

from __future__ import annotations

from dataclasses import replace

import pytest
from faultleaf.layout import Chart, ChartBox, ChartError, ChartExit, reading_order

from tests.layout.charts import OVERFILL, SMALL, box, random_chart, way


def mistakes(boxes: tuple[ChartBox, ...], root: str = "b1") -> tuple[str, ...]:
    with pytest.raises(ChartError) as caught:
        Chart("A title", "", boxes, root)
    return caught.value.mistakes


def test_unknown_doubled_and_missing_boxes_are_named() -> None:
    twice = (box(1, "Look", "", way("on", 7, 1.0)), box(1, "Look again"))
    assert mistakes(twice, "b9") == (
        "two boxes have the id 'b1'",
        "the root 'b9' is no box",
        "box 'b1' leads to 'b7', which is no box",
    )


def test_a_loop_and_a_lost_box_are_named() -> None:
    loop = (box(1, "a", "", way("x", 2, 1.0)), box(2, "b", "", way("x", 3, 1.0)), box(3, "c", "", way("x", 2, 1.0)))
    assert mistakes((*loop, box(4, "d"))) == ("no exit leads to box 'b4'", "the boxes b2, b3 form a loop")


@pytest.mark.parametrize("link", ["https://example.org/a", "javascript:alert(1)", "//example.org", "data:text/html,x"])
def test_a_link_must_be_relative(link: str) -> None:
    assert mistakes((box(1, "Look", link=link),)) == (f"box 'b1' links to '{link}', which is not a relative address",)


def test_a_relative_link_may_hold_a_colon_further_on() -> None:
    assert Chart("t", "", (box(1, "Look", link="../tests/a.html?x=1:2#b:c"),), "b1").boxes[0].link


def test_the_likeliest_path_comes_first_then_its_side_branches_from_the_top() -> None:
    flow = reading_order(OVERFILL)
    numbers = [int(one[1:]) for one in flow.order]
    assert numbers == [1, 2, 3, 4, 7, 6, 12, 9, 13, 14, 15, 8, 5, 10, 11]
    assert flow.down["b2"] == 1  # "It stays at the mark", the likeliest exit


def test_ties_go_to_the_exit_that_is_given_first() -> None:
    chart = Chart("t", "", (box(1, "a", "", way("x", 3, 0.5), way("y", 2, 0.5)), box(2, "b"), box(3, "c")), "b1")
    assert reading_order(chart).order == ("b1", "b3", "b2")


@pytest.mark.parametrize("seed", range(40))
def test_every_box_has_one_place_in_the_order_and_goes_down_to_a_later_box(seed: int) -> None:
    chart = random_chart(seed)
    flow = reading_order(chart)
    assert sorted(flow.order) == sorted(one.id for one in chart.boxes)
    places = {one: i for i, one in enumerate(flow.order)}
    for one, index in flow.down.items():
        target = chart.by_id()[one].exits[index].target
        assert target is not None
        assert places[target] == places[one] + 1


def test_an_exit_to_the_end_never_goes_down() -> None:
    cured = replace(SMALL.boxes[2], exits=(ChartExit("Cured", None, 0.9), ChartExit("Still there", "b2", 0.1)))
    chart = replace(SMALL, boxes=(cured, SMALL.boxes[1]), root="b3")
    assert reading_order(chart).down == {"b3": 1}
