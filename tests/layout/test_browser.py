"""Our widths against those of a real browser with the shipped font."""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from pathlib import Path
from xml.sax.saxutils import escape

import pytest
from faultleaf.layout import Frame, draw_svg, lay_out
from faultleaf.layout.metrics import MM_PER_PT
from faultleaf.pipeline.fonts import BOLD, FONT_FOLDER, REGULAR, load_metrics
from selenium.webdriver import Chrome

from tests.browser.chromium import console_errors, open_chromium, outside_urls
from tests.layout.charts import OVERFILL, random_chart, random_text

METRICS = load_metrics()
SIZE_PT = 12.0
KERNED = ["AVAVAV To Ty We fi ffl AT", "Yo. Va, P. LT rt fj", "½ × ÷ ± ≤ ≥ ≈ → °F µ Ω – — “q”"]
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Widths</title><style>
@font-face {{ font-family: "Faultleaf Sans"; src: url("{regular}"); }}
@font-face {{ font-family: "Faultleaf Sans"; src: url("{bold}"); font-weight: bold; }}
</style></head><body>{body}</body></html>"""
MEASURE = """
const done = arguments[arguments.length - 1];
document.fonts.ready.then(() => done([...document.querySelectorAll("text")].map((line) => {
  const told = Number(line.getAttribute("textLength"));
  line.removeAttribute("textLength");
  return [line.textContent, told, line.getComputedTextLength()];
})));
"""


@pytest.fixture(scope="module")
def chromium() -> Iterator[Chrome]:
    with open_chromium(900, 1100) as driver:
        yield driver


def measured(chromium: Chrome, folder: Path, body: str) -> list[tuple[str, float, float]]:
    """Text, told width and measured width of every line in a page with the shipped font."""
    for name in (REGULAR, BOLD):
        shutil.copy(FONT_FOLDER / name, folder / name)
    page = folder / "page.html"
    page.write_text(PAGE.format(regular=REGULAR, bold=BOLD, body=body), encoding="utf-8")
    chromium.get(page.as_uri())
    lines = [(str(text), float(told), float(real)) for text, told, real in chromium.execute_async_script(MEASURE)]
    assert console_errors(chromium) == ()
    assert outside_urls(chromium, folder) == ()
    return lines


@pytest.mark.parametrize("weight", ["normal", "bold"])
def test_fifty_strings_are_as_wide_as_we_say(chromium: Chrome, tmp_path: Path, weight: str) -> None:
    rng = random.Random(5)
    strings = [*KERNED, *(random_text(rng, 3, 60) for _ in range(50 - len(KERNED)))]
    face = METRICS.bold if weight == "bold" else METRICS.regular
    texts = (
        f'<text font-size="{SIZE_PT}" font-weight="{weight}" textLength="{face.width_em(text) * SIZE_PT}">'
        f"{escape(text)}</text>"
        for text in strings
    )
    svg = f'<svg font-family="Faultleaf Sans" font-kerning="none">{"".join(texts)}</svg>'
    lines = measured(chromium, tmp_path, svg)
    assert len(lines) == 50
    assert [line for line in lines if abs(line[1] - line[2]) > 0.5] == []


def test_drawn_charts_need_no_squeezing(chromium: Chrome, tmp_path: Path) -> None:
    """Half a point, over the pieces of one line: the laws say that the widths that we tell lie inside the boxes."""
    charts = [OVERFILL, *(random_chart(seed) for seed in range(12))]
    frames = (Frame(190, 235), Frame(257, 120))
    drawn = (draw_svg(lay_out(c, METRICS, frames[i % 2]), f"c{i}") for i, c in enumerate(charts))
    lines = measured(chromium, tmp_path, "".join(drawn))
    assert len(lines) > 1000
    assert [line for line in lines if abs(line[1] - line[2]) > 0.5 * MM_PER_PT] == []
