"""Every sheet printed by Chromium: one page of Letter and of A4, nothing lost, nothing too small to read."""

import base64
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import sqrt
from pathlib import Path
from typing import Any, Final

import pytest
from pypdf import PdfReader
from selenium.webdriver import Chrome

from tests.browser.chromium import console_errors, open_chromium
from tests.counts import one_in
from tests.site.sites import Site, once, squeezed

PAPERS: Final = {"letter": (8.5, 11.0), "a4": (8.27, 11.69)}
"""Inches, as the print dialog gives them (ANSI/ASME Y14.1 size A; ISO 216 A4, 210 x 297 mm)."""

SMALLEST_PT: Final = 7.5
"""Nothing on a sheet is smaller. STANDARDS asks for more (ISO/IEC Guide 37: running text 10 pt, warnings 12 pt);
this floor only keeps a first version from getting worse until the typeset sheets come."""

OVERFLOW = """
const sheet = document.querySelector(".fl-sheet");
const edge = sheet.getBoundingClientRect();
return [...sheet.querySelectorAll("p, h1, svg text")]
  .map((part) => [part.getBoundingClientRect(), part.textContent])
  .filter(([box]) => box.bottom > edge.bottom + 1 || box.right > edge.right + 1 || box.left < edge.left - 1)
  .map(([, text]) => text.slice(0, 60));
"""


@dataclass(frozen=True)
class Printed:
    """A printed sheet: its pages' number, all its text without white space, and the sizes of its type (pt)."""

    pages: int
    text: str
    sizes: frozenset[float]


Prints = Mapping[tuple[str, str], Printed]


@pytest.fixture(scope="module")
def printer() -> Iterator[Chrome]:
    with open_chromium(1280, 900) as driver:
        yield driver


@pytest.fixture(scope="module")
def prints(site: Site, printer: Chrome, home: Path) -> Prints:
    """Every sheet on every paper, printed once for all workers."""
    return once(home, "prints", lambda: _all_prints(site, printer))


def _all_prints(site: Site, printer: Chrome) -> Prints:
    made = {}
    charts = site.below("charts")
    both = one_in(3, charts)  # of the others the suite prints Letter alone, which holds less
    for path in charts:
        printer.get((site.root / path).as_uri())
        printer.execute_async_script("document.fonts.ready.then(arguments[0])")
        for paper in PAPERS if path in both else ("letter",):
            made[path, paper] = _read_print(_print(printer, paper))
    assert console_errors(printer) == ()
    return made


def test_there_is_a_sheet_for_every_variant(site: Site, prints: Prints) -> None:
    variants = sum(len(symptom.variants) for symptom in site.library.symptoms.values() if not symptom.emergency)
    assert variants >= 13
    assert len([path for path, paper in prints if paper == "letter"]) == variants
    assert [path for path, paper in prints if paper == "a4"] == one_in(3, site.below("charts"))


def test_every_sheet_is_exactly_one_page(prints: Prints) -> None:
    assert {which: each.pages for which, each in prints.items() if each.pages != 1} == {}


def test_every_sheet_carries_the_notices(site: Site, prints: Prints) -> None:
    values = site.library.site
    assert values.invented is not None
    needed = [values.notice, values.notices[0].text, values.notices[0].source, values.call, values.invented]
    for which, each in prints.items():
        assert [text for text in needed if squeezed(text) not in each.text] == [], which


def test_every_sheet_carries_its_cautions(site: Site, prints: Prints) -> None:
    for (path, paper), each in prints.items():
        listed = [str(tag["data-caution"]) for tag in site.page(path).select(".fl-sheet [data-caution]")]
        assert len(listed) >= 3
        for name in listed:
            caution = site.library.cautions[name]
            # ANSI Z535.4: several hazards stand under the gravest signal word of theirs.
            assert squeezed(caution.key + caution.order) in each.text, (path, paper, name)
            gravest = "WARNING" if caution.signal == "caution" else caution.signal.upper()
            assert gravest in each.text or caution.signal.upper() in each.text, (path, paper, name)


def test_every_box_of_the_chart_is_on_the_paper(site: Site, prints: Prints) -> None:
    for (path, paper), each in prints.items():
        actions = [tag.get_text(" ", strip=True) for tag in site.page(path).select(".fl-outline__action")]
        assert len(actions) >= 3
        # A repair may be told by its cause alone, where what is done finds no room.
        assert [text for text in actions if squeezed(text.split(": ")[0]) not in each.text] == [], (path, paper)


def test_the_way_back_and_the_button_stay_off_the_paper(prints: Prints) -> None:
    for each in prints.values():
        assert squeezed("Print this sheet") not in each.text
        assert squeezed("The same chart in words") not in each.text


def test_the_size_ruler_knows_the_sizes_of_the_style_sheet(prints: Prints) -> None:
    # sheet.css sets the heading in 15 pt and the foot in 8 pt; the ruler must say so before it judges.
    for which, each in prints.items():
        assert {15.0, 8.0} <= each.sizes, which
        assert max(each.sizes) == 15.0, which


def test_nothing_is_printed_too_small_to_read(prints: Prints) -> None:
    assert {which: min(each.sizes) for which, each in prints.items() if min(each.sizes) < SMALLEST_PT} == {}


def test_signal_words_are_printed_on_their_ground(site: Site, printer: Chrome) -> None:
    # White words on black: a browser leaves grounds off the paper unless the style insists on them.
    printer.get((site.root / site.below("charts")[0]).as_uri())
    script = """return [...document.querySelectorAll(".fl-sheet *")].map((part) => getComputedStyle(part))
        .filter((style) => style.color === "rgb(255, 255, 255)").map((style) => style.printColorAdjust);"""
    white = printer.execute_script(script)
    assert white
    assert set(white) == {"exact"}


def test_nothing_of_a_sheet_is_cut_off(site: Site, printer: Chrome) -> None:
    printer.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    try:
        for path in site.below("charts"):
            printer.get((site.root / path).as_uri())
            printer.execute_async_script("document.fonts.ready.then(arguments[0])")
            assert printer.execute_script(OVERFLOW) == [], path
    finally:
        printer.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


def _print(driver: Chrome, paper: str) -> bytes:
    width, height = PAPERS[paper]
    options = {"paperWidth": width, "paperHeight": height, "preferCSSPageSize": False, "printBackground": False}
    answer: dict[str, Any] = driver.execute_cdp_cmd("Page.printToPDF", options)
    return base64.b64decode(answer["data"])


def _read_print(data: bytes) -> Printed:
    reader = PdfReader(io.BytesIO(data))
    ruler = _Ruler()
    texts = [page.extract_text(visitor_operand_before=ruler.see) for page in reader.pages]
    return Printed(len(reader.pages), squeezed("".join(texts)), frozenset(ruler.sizes))


class _Ruler:
    """Measures type as it lies on the paper: the font's size times both matrices (ISO 32000-1, 9.4.4)."""

    def __init__(self) -> None:
        self.size = 0.0
        self.sizes: set[float] = set()

    def see(self, operator: bytes, operands: list[Any], cm: list[float], tm: list[float]) -> None:
        """Take note of one operator of the page."""
        if operator == b"Tf":
            self.size = float(operands[1])
        elif operator in (b"Tj", b"TJ"):
            self.sizes.add(round(self.size * _scale(cm) * _scale(tm), 1))


def _scale(matrix: list[float]) -> float:
    """How much a PDF matrix [a b c d e f] enlarges: the root of its determinant (ISO 32000-1, 8.3.4)."""
    a, b, c, d = matrix[:4]
    return sqrt(abs(a * d - b * c))
