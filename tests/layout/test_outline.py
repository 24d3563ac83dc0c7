"""The chart in words."""

from __future__ import annotations

import pytest
from faultleaf.layout import OutlineExit, outline

from tests.layout.charts import SMALL, random_chart


def test_the_small_chart_in_words() -> None:
    first, second, third = outline(SMALL)
    assert (first.number, first.hazard, first.actions) == (1, "WARNING", ("Blow down the gauge glass",))
    assert first.question == "Does the water come back at once?"
    assert first.exits == (
        OutlineExit("It comes back at once", 2, "It comes back at once: go to 2"),
        OutlineExit("It comes back slowly or not at all", 3, "It comes back slowly or not at all: go to 3"),
    )
    assert second.exits == ()
    assert third.actions == ("a) Glass dirty: Clean it and its cocks", "b) Equalizing pipe choked: Rod the pipe")
    assert third.exits[0] == OutlineExit("Cured", None, "Cured")


@pytest.mark.parametrize("seed", range(20))
def test_every_exit_of_every_box_is_told(seed: int) -> None:
    chart = random_chart(seed)
    told = {step.number: [way.number for way in step.exits] for step in outline(chart)}
    numbers = {box.id: box.number for box in chart.boxes}
    want = {box.number: [numbers[e.target] if e.target else None for e in box.exits] for box in chart.boxes}
    assert told == want
    assert list(told) == sorted(told)
