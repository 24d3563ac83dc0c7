"""layout/exits.py: a repair with "cured?" beside it, or below it where the next box stands there."""

import pytest
from faultleaf.layout import Chart, ChartBox, Frame, PlacedBox, lay_out
from faultleaf.pipeline.fonts import load_metrics

from tests.layout.charts import box, way

METRICS = load_metrics()
TEST = box(1, "Listen", "Heard?", way("Yes", 2, 0.5), way("No", 3, 0.5), symbol="decision", note="5 min A")
FIX = box(2, "Fill valve passes", "", way("Cured", None, 0.4), way("Still there", 3, 0.1), note="1 h L", is_repair=True)


def placed(*boxes: ChartBox) -> dict[str, PlacedBox]:
    return {one.box.id: one for one in lay_out(Chart("t", "", boxes, "b1"), METRICS, Frame(100, 200)).boxes}


def test_aside_of_its_test_the_decision_stands_on_its_right() -> None:
    ends = box(3, "Look", "Wet?", way("Yes", 4, 0.3), way("No", 4, 0.3), symbol="decision")
    found = placed(TEST, FIX, ends, box(4, "Hand on", symbol="terminal"))["b2"]
    (diamond,) = [mark for mark in found.marks if mark.shape == "decision"]
    assert diamond.rect.x > found.outline.rect.right
    (no,) = found.exits
    assert [line.text for line in no.label] == ["no"]
    assert no.end is not None
    assert [line.text for line in no.end.texts] == ["3"]
    assert no.label[0].x > diamond.rect.right


def test_above_the_box_that_follows_the_decision_hangs_on_the_line() -> None:
    last = box(3, "Hand on", symbol="terminal")
    found = placed(box(1, "Ask", "", way("", 2, 1.0)), FIX, last)["b2"]
    (diamond,) = [mark for mark in found.marks if mark.shape == "decision"]
    assert diamond.rect.y > found.outline.rect.bottom
    (no,) = found.exits
    assert no.end is None
    assert [line.text for line in no.label] == ["no"]


def test_a_repair_is_no_wider_than_its_words() -> None:
    found = placed(TEST, FIX, box(3, "Hand on", symbol="terminal"))
    assert found["b2"].outline.rect.w < found["b1"].outline.rect.w - 10


@pytest.mark.parametrize("keys", [("VOLTS",), ("VOLTS", "SCALD", "ASBESTOS", "TAPS", "PERMIT", "CUTOFF", "BRIDGE")])
def test_keys_stand_inside_before_the_question_behind_one_triangle(keys: tuple[str, ...]) -> None:
    asked = box(
        1, "Locked off: pull at every wire", "Tight?", way("Yes", 2, 0.5), way("No", 2, 0.5), symbol="decision",
        hazard="WARNING", keys=keys,
    )  # fmt: skip
    found = placed(asked, box(2, "Hand on", symbol="terminal"))["b1"]
    texts = " ".join(line.text for line in found.outline.texts)
    assert texts.index(" ".join(keys[:1])) < texts.index("Tight?")
    assert [mark.shape for mark in found.marks].count("alert") == 1
    assert all(key in texts for key in keys)
