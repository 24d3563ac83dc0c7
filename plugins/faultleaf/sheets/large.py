"""The large-print edition: the same chart in type of 16 pt or more, cut into numbered sheets."""

from __future__ import annotations

from typing import Final

from faultleaf.layout import DoesNotFit, Frame, lay_out_sheets
from faultleaf.sheets.chart_data import chart_data
from faultleaf.sheets.front import Front, Maker
from faultleaf.sheets.job import MARGIN_MM
from faultleaf.sheets.press import SheetError
from faultleaf.sheets.words import document, front_words

LARGER: Final = 1.6
"""The chart is laid out so many times smaller and drawn so many times larger: 10 pt becomes 16 pt."""
BETWEEN_MM: Final = 3.5


def make_large(front: Front, maker: Maker) -> bytes:
    """The edition as a PDF: what comes before on one sheet, the chart on others, what is proved on the last.

    Every sheet with a step repeats cautions and notice. Raises SheetError where they leave no room for a box.
    """
    paper, one = front.paper, front.drawn
    size = {"width": paper.width_mm, "height": paper.height_mm}
    words = {**front_words(one, back=False), "paper": size}
    tall = maker.press.measure(document("large-height", paper, words)) + BETWEEN_MM
    width, height = paper.width_mm - 2 * MARGIN_MM, paper.height_mm - 2 * MARGIN_MM - tall
    try:
        parts = lay_out_sheets(one.chart, maker.metrics, Frame(width / LARGER, height / LARGER))
    except (DoesNotFit, ValueError):
        raise SheetError(f"{one.job.symptom.id}: cautions and notices leave no room for large print") from None
    charts = [chart_data(part, LARGER) for part in parts]
    return maker.press.pdf(document("large", paper, {**words, "charts": charts}))
