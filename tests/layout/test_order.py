"""The order in which boxes stand on paper."""

from __future__ import annotations

from dataclasses import replace

import pytest
from faultleaf.layout import Chart, ChartExit, reading_order

from tests.layout.charts import OVERFILL, SMALL, box, random_chart, way


def numbers(chart: Chart) -> list[int]:
    return [place.box.number for place in reading_order(chart)]


def test_the_likeliest_path_that_goes_on_comes_first_with_ends_aside_of_the_step_they_end() -> None:
    places = reading_order(OVERFILL)
    order = numbers(OVERFILL)
    assert order == [1, 12, 2, 15, 3, 8, 4, 7, 5, 10, 11, 6, 9, 13, 14]
    aside = [place.box.number for place in places if place.side]
    assert aside == [12, 15, 8, 7, 10, 11, 13]
    down = [(places[place.parent].box.number, place.box.number) for place in places if place.parent is not None]
    assert (2, 3) in down  # "It stays at the mark", the likeliest exit


def test_ties_go_to_the_exit_that_is_given_first() -> None:
    tests = [box(n, "look", "?", way("x", 4, 0.5), way("y", 5, 0.5), symbol="decision") for n in (2, 3)]
    root = box(1, "a", "", way("x", 3, 0.5), way("y", 2, 0.5))
    chart = Chart("t", "", (root, *tests, box(4, "b"), box(5, "c")), "b1")
    assert numbers(chart) == [1, 3, 4, 2, 5]


@pytest.mark.parametrize("seed", range(100))
def test_every_box_has_one_place_and_hangs_on_an_earlier_one_by_a_true_exit(seed: int) -> None:
    chart = random_chart(seed)
    places = reading_order(chart)
    assert sorted(place.box.id for place in places) == sorted(one.id for one in chart.boxes)
    straight = [place.parent for place in places if place.parent is not None and not place.side]
    assert len(straight) == len(set(straight))
    entries = [e.target for one in chart.boxes for e in one.exits]
    for i, place in enumerate(places):
        if place.parent is None:
            continue
        assert place.parent < i
        assert places[place.parent].box.exits[place.exit].target == place.box.id
        # Nothing but what hangs on it stands between a box and the box straight below or aside.
        assert all(
            between.parent is not None and between.parent >= place.parent for between in places[place.parent + 1 : i]
        )
        assert not place.side or (entries.count(place.box.id) == 1 and place.box.symbol != "decision")


def test_an_exit_to_the_end_never_goes_down() -> None:
    cured = replace(SMALL.boxes[2], exits=(ChartExit("Cured", None, 0.9), ChartExit("Still there", "b2", 0.1)))
    chart = replace(SMALL, boxes=(cured, SMALL.boxes[1]), root="b3")
    assert [(place.parent, place.exit) for place in reading_order(chart)] == [(None, 0), (0, 1)]
