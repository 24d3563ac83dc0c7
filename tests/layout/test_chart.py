"""The chart checks itself, and is read in a fixed order."""

from __future__ import annotations

import pytest
from faultleaf.layout import Chart, ChartBox, ChartError

from tests.layout.charts import box, way


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


def test_steps_have_letters_only_among_several_and_their_causes_before_them() -> None:
    one = box(1, "Clean it", causes=("Probe fouled",))
    several = box(2, "Clean it\nReplace it", causes=("Probe fouled", ""))
    assert one.steps() == (("Probe fouled:", "Clean it"),)
    assert several.steps() == (("a) Probe fouled:", "Clean it"), ("b)", "Replace it"))
    assert box(3, "").steps() == ()
