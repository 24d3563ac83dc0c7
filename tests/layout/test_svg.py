"""The drawing: well-formed, escaped, legible without colour, the same bytes each time."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree as ET

from faultleaf.layout import Frame, draw_svg, lay_out
from faultleaf.pipeline.fonts import load_metrics

from tests.layout.charts import OVERFILL, SMALL

METRICS = load_metrics()
GOLDEN = Path(__file__).parent.parent / "golden" / "layout-small.svg"
SVG = "{http://www.w3.org/2000/svg}"


def drawn(prefix: str = "step") -> ET.Element:
    return ET.fromstring(draw_svg(lay_out(OVERFILL, METRICS, Frame(190, 235)), prefix))


def test_golden_drawing_of_the_small_chart() -> None:
    """Set FAULTLEAF_UPDATE_GOLDEN=1 to write the file anew; then look at it."""
    svg = draw_svg(lay_out(SMALL, METRICS, Frame(190, 235)))
    if os.environ.get("FAULTLEAF_UPDATE_GOLDEN"):
        GOLDEN.parent.mkdir(exist_ok=True)
        GOLDEN.write_text(svg, encoding="utf-8", newline="\n")
    assert GOLDEN.read_text(encoding="utf-8") == svg


def test_hostile_text_stays_text() -> None:
    nasty = '<script>alert("1")</script> & \' ]]>'
    box = replace(SMALL.boxes[1], action=nasty, link='../a.html"onclick="x')
    chart = replace(SMALL, title=nasty, subtitle=nasty, boxes=(SMALL.boxes[0], box, SMALL.boxes[2]))
    root = ET.fromstring(draw_svg(lay_out(chart, METRICS, Frame(190, 235))))
    assert root.findall(f".//{SVG}script") == []
    assert root.findtext(f"{SVG}title") == nasty
    assert [a.get("href") for a in root.iter(f"{SVG}a")].count('../a.html"onclick="x') == 1
    assert not [e for e in root.iter() if any(name.startswith("on") for name in e.attrib)]


def test_it_needs_no_style_and_no_script_and_fetches_nothing() -> None:
    for element in drawn().iter():
        assert element.tag.removeprefix(SVG) in {"svg", "title", "desc", "g", "a", "path", "rect", "circle", "text"}
        assert "style" not in element.attrib
        assert not [value for value in element.attrib.values() if "url(" in value or "http" in value]


def test_black_alone_says_everything_and_strokes_are_thick_enough() -> None:
    for element in drawn().iter():
        assert element.get("fill") in (None, "none", "currentColor")
        assert element.get("stroke") in (None, "none", "currentColor")
        if "stroke-width" in element.attrib:
            assert float(element.attrib["stroke-width"]) >= 0.35


def test_it_is_named_and_described_and_keeps_its_size_on_paper() -> None:
    root = drawn("chart-1")
    assert root.get("role") == "group"
    assert root.get("aria-labelledby") == "chart-1-title chart-1-about"
    assert root.findtext(f"{SVG}title") == OVERFILL.title
    assert (root.findtext(f"{SVG}desc") or "").startswith(OVERFILL.subtitle)
    width, height = root.get("width", ""), root.get("height", "")
    assert root.get("viewBox", "").split()[2:] == [width.removesuffix("mm"), height.removesuffix("mm")]
    assert width.endswith("mm")


def test_every_circle_that_leads_away_is_a_link_to_its_box() -> None:
    root = drawn("x")
    ids = {element.get("id") for element in root.iter()}
    links = [a.get("href", "") for a in root.iter(f"{SVG}a") if a.get("class") == "fl-connector"]
    assert len(links) > 5
    assert {link.removeprefix("#") for link in links} <= ids
    assert {f"x-{box.number}" for box in OVERFILL.boxes} <= ids


def test_a_box_with_a_link_says_its_name() -> None:
    root = ET.fromstring(draw_svg(lay_out(SMALL, METRICS, Frame(190, 235))))
    names = {a.get("href"): a.get("aria-label") for a in root.iter(f"{SVG}a")}
    assert names["../tests/gauge-glass-blowdown.html"] == (
        "1. WARNING. Blow down the gauge glass. Does the water come back at once?"
    )


def test_numbers_have_at_most_two_decimals() -> None:
    for element in drawn().iter():
        for value in (value for name, value in element.attrib.items() if name != "font-size"):
            for part in value.replace("L", " ").replace("M", " ").split():
                assert not part.replace(".", "").isdigit() or len(part.partition(".")[2]) <= 2
