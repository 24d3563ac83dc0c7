"""Laws that every drawn graph of causes obeys, checked on three named graphs and 60 random ones."""

from __future__ import annotations

import random
from functools import cache
from itertools import combinations, pairwise
from xml.etree import ElementTree as ET

import networkx as nx
import pytest
from faultleaf.graph import symptom_graph
from faultleaf.layout import Rect
from faultleaf.layout.causes import UNLISTED, read_causes
from faultleaf.layout.graph_picture import HAIR, WHOLE, GraphBox, GraphLine, GraphPicture, place_causes
from faultleaf.layout.graph_svg import draw_graph
from faultleaf.pipeline.fonts import load_metrics

from tests.layout.graphs import CHAIN, NAMED, NUMBERS, ROOT, SYMPTOM, causes_of, random_graph, share_map, whole

METRICS = load_metrics()
CASES = [*NAMED, *range(60)]
SVG = "{http://www.w3.org/2000/svg}"
LEAST_TYPE = 12.0


@cache
def picture_of(case: str | int) -> GraphPicture:
    return place_causes(causes_of(case), METRICS)


def drawn(case: str | int) -> ET.Element:
    return ET.fromstring(draw_graph(picture_of(case), "../"))


def edges(case: str | int, relation: str) -> set[tuple[str, str]]:
    part = symptom_graph(whole(case), SYMPTOM)
    return {(a, b) for a, b, data in part.edges(data=True) if data["relation"] == relation}


def faults(picture: GraphPicture) -> dict[str, GraphBox]:
    return {box.node: box for box in picture.boxes if box.kind in ("fault", "unlisted")}


def strokes(line: GraphLine) -> list[Rect]:
    """Every straight piece of the line as the rectangle that its stroke covers."""
    half = line.width / 2
    found = []
    for (x1, y1), (x2, y2) in pairwise(line.points):
        across, down = (half, 0.0) if x1 == x2 else (0.0, half)
        left, top = min(x1, x2) - across, min(y1, y2) - down
        found.append(Rect(left, top, abs(x2 - x1) + 2 * across, abs(y2 - y1) + 2 * down))
    return found


def shrunk(rect: Rect) -> Rect:
    return Rect(rect.x + 1e-6, rect.y + 1e-6, rect.w - 2e-6, rect.h - 2e-6)


@pytest.mark.parametrize("case", CASES)
def test_every_edge_of_the_symptoms_graph_is_drawn(case: str | int) -> None:
    picture = picture_of(case)
    lines = [(line.relation, line.source, line.target) for line in picture.lines if line.target != UNLISTED]
    assert len(lines) == len(set(lines))
    for relation in ("may be caused by", "comes from"):
        assert {(a, b) for kind, a, b in lines if kind == relation} == edges(case, relation)
    frames = {frame.node: frame.rect for frame in picture.frames}
    boxes = faults(picture)
    for fault, component in edges(case, "lives in"):
        assert [node for node, frame in frames.items() if frame.holds(boxes[fault].rect)] == [component]


@pytest.mark.parametrize("case", CASES)
def test_every_node_has_one_box_and_every_line_joins_the_boxes_of_its_ends(case: str | int) -> None:
    picture = picture_of(case)
    part = symptom_graph(whole(case), SYMPTOM)
    own = [box.node for box in picture.boxes if box.kind != "origin"]
    assert len(own) == len(set(own))
    assert {name for name in part if not name.startswith("test:")} <= set(own)
    root = picture.boxes[0].rect
    boxes = faults(picture)
    for line in picture.lines:
        (x, y), (end_x, end_y) = line.points[0], line.points[-1]
        if line.relation == "may be caused by":
            target = boxes[line.target].rect
            assert (y, root.x < x < root.right) == (root.bottom, True)
        else:
            start = boxes[line.source].rect
            assert (x, start.y < y < start.bottom) == (start.right, True)
            targets = [box.rect for box in picture.boxes if (box.kind, box.node) == ("origin", line.target)]
            target = next(rect for rect in targets if rect.y < end_y < rect.bottom)
        assert (end_x, target.y < end_y < target.bottom) == (target.x, True)


@pytest.mark.parametrize("case", CASES)
def test_no_two_boxes_overlap_and_a_frame_holds_what_lives_in_it_alone(case: str | int) -> None:
    picture = picture_of(case)
    assert not [pair for pair in combinations(picture.boxes, 2) if pair[0].rect.overlaps(pair[1].rect)]
    assert not [pair for pair in combinations(picture.frames, 2) if pair[0].rect.overlaps(pair[1].rect)]
    for frame in picture.frames:
        inside = {box.node for box in picture.boxes if box.rect.overlaps(frame.rect)}
        assert all(frame.rect.holds(box.rect) for box in picture.boxes if box.node in inside and box.kind != "origin")
        assert inside == {frame.node, *(a for a, b in whole(case).edges if b == frame.node and a in faults(picture))}


@pytest.mark.parametrize("case", CASES)
def test_no_line_crosses_another_or_runs_through_a_box(case: str | int) -> None:
    picture = picture_of(case)
    for one, other in combinations(picture.lines, 2):
        if one.relation == other.relation == "comes from" and one.source == other.source:
            continue  # the arrows of one fault leave together
        assert not [1 for a in strokes(one) for b in strokes(other) if shrunk(a).overlaps(shrunk(b))]
    for line in picture.lines:
        for box in picture.boxes:
            assert not [1 for stroke in strokes(line) if shrunk(stroke).overlaps(shrunk(box.rect))]


@pytest.mark.parametrize("case", CASES)
def test_text_stays_in_its_box_by_the_advances_of_its_letters(case: str | int) -> None:
    picture = picture_of(case)
    everything = Rect(0, 0, picture.width, picture.height)
    for box in picture.boxes:
        assert everything.holds(box.rect)
        for line in box.texts:
            face = METRICS.bold if line.bold else METRICS.regular
            assert line.width == pytest.approx(face.width_em(line.text) * line.size)
            assert line.size >= LEAST_TYPE
            assert box.rect.holds(line.rect)
        for one, other in combinations(box.texts, 2):
            assert not one.rect.overlaps(other.rect)


@pytest.mark.parametrize("case", CASES)
def test_a_line_is_as_wide_as_its_share_and_all_of_them_leave_below_the_symptom(case: str | int) -> None:
    picture = picture_of(case)
    shares = {name: cause.share.value for name, cause in causes_of(case).causes().items() if cause.share}
    widths = {line.target: line.width for line in picture.lines if line.relation == "may be caused by"}
    assert widths == pytest.approx({name: max(HAIR, WHOLE * value) for name, value in shares.items()})


def test_a_box_says_its_share_its_tests_and_what_lies_behind() -> None:
    names = [(box.kind, box.name) for box in picture_of("chain").boxes]
    assert names == [
        ("symptom", "The overfills"),
        ("component", "The feeder"),
        ("fault", "1 The valve, 90% of such calls, shows at 2 tests"),
        ("origin", "comes from 2 The passages, often"),
        ("fault", "2 The passages, brings on others, shows at 1 test"),
        ("origin", "comes from 3 The strainer, usually"),
        ("component", "The pipe"),
        ("fault", "3 The strainer, brings on others, shows at 0 tests"),
        ("unlisted", "A cause that no card names, 10% of such calls"),
    ]


def test_a_symptom_without_causes_is_a_box_alone() -> None:
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_node(ROOT, kind="symptom", title="It hums", url="symptoms/hums.html")
    picture = place_causes(read_causes(graph, SYMPTOM, {}, NUMBERS), METRICS)
    assert [box.node for box in picture.boxes] == [ROOT]
    assert Rect(0, 0, picture.width, picture.height).holds(picture.boxes[0].rect)


@pytest.mark.parametrize("case", range(5))
def test_the_order_of_nodes_and_edges_changes_no_byte(case: int) -> None:
    graph, shares = random_graph(case)
    chance = random.Random(case)
    nodes, links = list(graph.nodes(data=True)), list(graph.edges(data=True))
    chance.shuffle(nodes)
    chance.shuffle(links)
    again: nx.DiGraph[str] = nx.DiGraph()
    again.add_nodes_from(nodes)
    again.add_edges_from(links)
    turned = dict(sorted(share_map(shares).items(), reverse=True))
    svg = draw_graph(place_causes(read_causes(again, SYMPTOM, turned, NUMBERS), METRICS), "../")
    assert svg == draw_graph(picture_of(case), "../")


@pytest.mark.parametrize("case", CASES[:8])
def test_every_box_is_a_link_to_its_card_with_its_words_in_it(case: str | int) -> None:
    picture = picture_of(case)
    links = list(drawn(case).iter(f"{SVG}a"))
    assert [link.get("href") for link in links] == [f"../{box.url}" for box in picture.boxes]
    for link, box in zip(links, picture.boxes, strict=True):
        assert [text.text for text in link.iter(f"{SVG}text")] == [line.text for line in box.texts]
        assert link.get("aria-label") == box.name


def test_it_is_named_and_described_and_its_size_is_that_of_its_type() -> None:
    root = drawn("chain")
    assert root.get("role") == "group"
    assert root.get("aria-labelledby") == "causes-title causes-about"
    assert root.findtext(f"{SVG}title[@id='causes-title']") == "The causes of: The overfills"
    about = root.findtext(f"{SVG}desc[@id='causes-about']") or ""
    assert about.startswith("3 faults in the frames of 2 components.")
    assert root.get("viewBox") == f"0 0 {root.get('width')} {root.get('height')}"


def test_it_needs_no_style_no_script_no_colour_and_fetches_nothing() -> None:
    for element in drawn(7).iter():
        assert element.tag.removeprefix(SVG) in {"svg", "title", "desc", "a", "path", "rect", "text"}
        assert "style" not in element.attrib
        assert element.get("fill") in (None, "none", "currentColor")
        assert element.get("stroke") in (None, "currentColor")
        assert not [value for value in element.attrib.values() if "url(" in value or "http" in value]


def test_every_line_is_a_stroke_and_every_arrow_has_its_head() -> None:
    picture, root = picture_of(3), drawn(3)
    css = [path.get("class", "") for path in root.iter(f"{SVG}path")]
    arrows = [line for line in picture.lines if line.relation == "comes from"]
    assert len(arrows) > 5
    assert css.count("fl-graph__line fl-graph__line--origin") == css.count("fl-graph__arrow") == len(arrows)
    assert css.count("fl-graph__line fl-graph__line--share") == len(picture.lines) - len(arrows)


def test_hostile_text_stays_text() -> None:
    nasty = '<script>alert("1")</script> & \' ]]>'
    graph = CHAIN.copy()
    for name in graph:
        graph.nodes[name]["title"] = nasty
        graph.nodes[name]["url"] = 'a.html"onclick="x'
    causes = read_causes(graph, SYMPTOM, share_map({"fault:valve": 1.0}), NUMBERS)
    root = ET.fromstring(draw_graph(place_causes(causes, METRICS), "../"))
    assert root.findall(f".//{SVG}script") == []
    assert root.findtext(f"{SVG}title") == f"The causes of: {nasty}"
    assert {link.get("href") for link in root.iter(f"{SVG}a")} == {'../a.html"onclick="x'}
    assert not [e for e in root.iter() if any(name.startswith("on") for name in e.attrib)]
