"""How long one sheet takes, beside Chromium printing the same words and chart, kept open and started anew."""

import base64
import tempfile
from html import escape
from pathlib import Path

from faultleaf.diagnosis import compile_problem
from faultleaf.diagnosis.worth.figured import Effort, figured
from faultleaf.layout import draw_svg
from faultleaf.pipeline.sheets import sheet_job, worth_of
from faultleaf.sheets import Front, choose, make_sheet
from selenium.webdriver import Chrome

from tests.bench.timings import Timing, best_ms
from tests.browser.chromium import open_chromium
from tests.cli.calls import shipped_library
from tests.sheets.small import MAKER

SYMPTOM = "gauge-glass-misleading"


def measure_printing() -> tuple[Timing, Timing]:
    """A front of the shipped library: data to PDF. Finding the plan and fitting the chart are not counted."""
    front, maker = _front(), MAKER
    took = best_ms(lambda: make_sheet(front, maker, back=False), 10)
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder, "sheet.html")
        page.write_text(_html(front), encoding="utf-8")
        with open_chromium(800, 1000) as driver:
            opened = best_ms(lambda: _print(driver, page), 5)
        started = best_ms(lambda: _start_and_print(page), 1)
    return (
        Timing("one sheet as PDF, beside Chromium kept open", took, opened),
        Timing("one sheet as PDF, beside Chromium started for it", took, started),
    )


def _front() -> Front:
    library = shipped_library()
    symptom = library.symptoms[SYMPTOM]
    variant, equipment = next(iter(symptom.variants.items()))
    figures = figured(
        compile_problem(library, [SYMPTOM], equipment=equipment), range(5, 9), Effort(states=50, outlook=50, shakings=0)
    )
    job = sheet_job(library, symptom, variant, figures.plans, worth_of(symptom, variant, figures))
    return choose(job, MAKER)["letter"]


def _html(front: Front) -> str:
    """The same chart as SVG and the same cautions as text, in a page without scripts."""
    library = front.drawn.library
    cautions = [library.cautions[name] for name in front.drawn.cautions()]
    lines = (f"<p>{escape(f'{one.hazard} {one.consequence} {one.avoid}')}</p>" for one in cautions)
    return f"<!doctype html><title>Sheet</title><h1>Sheet</h1>{''.join(lines)}{draw_svg(front.placed)}"


def _print(driver: Chrome, page: Path) -> bytes:
    driver.get(page.as_uri())
    answer = driver.execute_cdp_cmd("Page.printToPDF", {})
    return base64.b64decode(answer["data"])


def _start_and_print(page: Path) -> bytes:
    with open_chromium(800, 1000) as driver:
        return _print(driver, page)
