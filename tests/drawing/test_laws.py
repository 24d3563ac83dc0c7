"""Laws of the drawing: words lie free, pipes meet, every part can be pressed, windows show what they name.

That header, loop and water line stand as drawn is common practice, no source; the 24 in. from memory of makers' sheets.
"""

import re
from itertools import combinations
from xml.etree import ElementTree

import pytest
from faultleaf.drawing import CUTAWAYS, PLANT, Cutaway, Label, Part, Pipe, crop_of, crop_of_most, draw_pane, draw_window
from faultleaf.drawing.levels import HEADER, LOOP, WATER
from faultleaf.drawing.scene import TYPE
from faultleaf.drawing.shapes import Box, Poly, distance
from faultleaf.pipeline.fonts import load_metrics

METRICS = load_metrics()
LABELS = [(part, label, label.box(METRICS)) for part in PLANT.parts for label in part.labels]
CARDS = sorted({part.card for part in PLANT.parts} - {""})
UNITS_PER_INCH = 318 / 48  # the boiler's jacket, 318 units, stands for 48 in.


def solid_boxes(part: Part) -> list[Box]:
    """The room of a part's shapes, and of each leg of its lines and pipes; a dashed line is no body."""
    seen = [shape for shape in part.shapes if shape.look != "dash"]
    open_lines = [shape for shape in seen if isinstance(shape, Poly) and not shape.closed]
    lines = [Pipe(leg, 2) for line in open_lines for leg in zip(line.points, line.points[1:], strict=False)]
    legs = [
        Pipe((start, end), pipe.width).box
        for pipe in part.pipes
        for start, end in zip(pipe.points, pipe.points[1:], strict=False)
    ]
    return [*(shape.box for shape in seen if shape not in open_lines), *(line.box for line in lines), *legs]


def test_no_label_crosses_another_or_a_part_that_it_does_not_name() -> None:
    wrong = [f"{a[1].lines} on {b[1].lines}" for a, b in combinations(LABELS, 2) if a[2].overlaps(b[2])]
    wrong += [
        f"{label.lines} on {part.id}"
        for own, label, box in LABELS
        for part in PLANT.parts
        if part is not own and not any(shape.look == "body" and shape.box.holds(box) for shape in own.shapes)
        for other in solid_boxes(part)
        if box.overlaps(other)
    ]
    assert wrong == []


def test_every_label_lies_within_one_pane_and_the_panes_cover_the_drawing_without_overlap() -> None:
    assert [label.lines for _, label, box in LABELS if not any(pane.box.holds(box) for pane in PLANT.panes)] == []
    assert not any(one.box.overlaps(other.box) for one, other in combinations(PLANT.panes, 2))
    assert sum(pane.box.w * pane.box.h for pane in PLANT.panes) == PLANT.width * (PLANT.height - 30)


def test_every_end_of_a_pipe_meets_a_pipe_or_a_body_or_is_said_to_be_open() -> None:
    pipes = list(PLANT.pipes())
    bodies = [s.box for part in PLANT.parts for s in (*part.shapes, *part.ground) if s.look == "body"]
    loose = []
    for part, pipe in pipes:
        for number, end in enumerate((pipe.points[0], pipe.points[-1])):
            meets_pipe = any(
                distance(end, *leg) < 1
                for _, other in pipes
                if other is not pipe
                for leg in zip(other.points, other.points[1:], strict=False)
            )
            meets_body = any(body.grown(3).holds(Box(*end, 0, 0)) for body in bodies)
            ring = pipe.points[0] == pipe.points[-1]
            if number not in pipe.open_at and not (meets_pipe or meets_body or ring):
                loose.append((part.id, end))
    assert loose == []


def test_every_component_that_has_a_place_can_be_pressed_once_by_keyboard_and_its_target_is_large_enough() -> None:
    links = {card: (f"components/{card}.html", card) for card in CARDS}
    panes = "".join(draw_pane(PLANT, pane, links, METRICS) for pane in PLANT.panes)
    for part in PLANT.parts:
        assert panes.count(f'id="part-{part.id}"') == (1 if part.card else 0)
        if part.card:
            pane = next(pane for pane in PLANT.panes if pane.box.holds(part.labels[0].box(METRICS)))
            assert pane.box.holds(Box(*part.box.middle, 0, 0)), part.id
            assert part.box.grown(4).w >= 24, part.id  # WCAG 2.2, 2.5.8: 24 by 24 CSS pixels
            assert part.box.grown(4).h >= 24, part.id


def test_heights_are_those_of_the_trade() -> None:
    """The equalizer and loop of the mechanical codes, drawn: joined 2 to 4 in. below the water line."""
    assert (WATER - HEADER - 11) / UNITS_PER_INCH >= 24
    assert 2 <= (LOOP - WATER) / UNITS_PER_INCH <= 4


@pytest.mark.parametrize("card", CARDS)
def test_a_window_holds_its_part_and_the_words_for_it(card: str) -> None:
    crop = crop_of(PLANT, card, METRICS)
    assert crop is not None
    main = next(part for part in PLANT.parts if part.id in crop.named and crop.box.holds(part.box))
    assert any(crop.box.holds(label.box(METRICS)) for label in main.labels)
    assert 328 / crop.box.w * TYPE >= 12  # on a phone of 360 px, whose column is 328


def test_a_component_that_is_not_on_the_drawing_has_no_window() -> None:
    assert crop_of(PLANT, "well-tank", METRICS) is None


def leaders(label: Label) -> list[Box]:
    return [Poly(leg).box for leg in zip(label.leader, label.leader[1:], strict=False)]


@pytest.mark.parametrize("cutaway", CUTAWAYS, ids=lambda one: one.id)
def test_words_of_a_cutaway_lie_inside_it_and_apart(cutaway: Cutaway) -> None:
    whole = Box(0, 0, cutaway.width, cutaway.height)
    boxes = [(label, label.box(METRICS, bold=False)) for label in cutaway.labels]
    assert [label.lines for label, box in boxes if not whole.holds(box)] == []
    assert [(a.lines, b.lines) for (a, x), (b, y) in combinations(boxes, 2) if x.overlaps(y)] == []
    assert all(len(label.leader) != 1 for label, _ in boxes)
    assert cutaway.about.endswith(".")
    assert set(cutaway.cards) <= set(CARDS)


def test_the_window_of_several_parts_is_the_one_that_shows_most_of_what_they_count() -> None:
    most = crop_of_most(PLANT, {"well-tank": 9, "gauge-glass": 4, "gauge-glass-cocks": 1, "receiver": 3}, METRICS)
    alone = crop_of(PLANT, "gauge-glass", METRICS)
    assert most is not None
    assert alone is not None
    assert most.box == alone.box
    shown = [part.card for part in PLANT.parts if part.id in most.named]
    assert set(shown) == {"gauge-glass", "gauge-glass-cocks"}
    assert crop_of_most(PLANT, {"well-tank": 9}, METRICS) is None


@pytest.mark.parametrize("card", CARDS)
def test_a_window_for_paper_has_its_own_looks_in_black_and_white(card: str) -> None:
    crop = crop_of_most(PLANT, {card: 1}, METRICS)
    assert crop is not None
    svg = draw_window(PLANT, crop, METRICS)
    assert set(re.findall(r"#[0-9a-f]+", svg)) == {"#000", "#fff"}
    assert "var(" not in svg
    names = {one.text for one in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}tspan")}
    labels = [part.labels for part in PLANT.parts if part.id in crop.named]
    assert any(set(label.lines) <= names for each in labels for label in each)
