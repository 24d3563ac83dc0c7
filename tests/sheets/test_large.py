"""The large-print edition."""

from pathlib import Path

import page as ua
from faultleaf.sheets import make_large

from tests.sheets.printed import Printed, squeezed
from tests.sheets.small import MAKER, small_fronts, small_library

LARGE_PRINT = 16.0  # pt; the least that large print is usually taken to be: common practice, no source


def test_chart_in_large_type_and_cautions_on_every_page_with_a_step(tmp_path: Path) -> None:
    library = small_library(tmp_path)
    fronts = small_fronts(library)
    for name, front in fronts.items():
        sheet = Printed(f"large-{name}.pdf", make_large(front, MAKER))
        assert len(sheet.pages) >= 3
        text = [sheet.text(number) for number in range(len(sheet.pages))]
        charts = [number for number, words in enumerate(text) if "sheet1/" in words or "sheet2/" in words]
        assert charts[0] == 1
        for number in range(len(text)):
            assert squeezed(library.site.notice) in text[number]
            assert squeezed(library.cautions["scald"].avoid) in text[number]
            assert min(sheet.type_sizes(number)) >= 12
        for number in charts:
            assert {size for size in sheet.type_sizes(number) if size >= LARGE_PRINT}
        whole = "".join(text)
        for box in front.drawn.chart.boxes:
            assert squeezed(box.question) in whole
        assert ua.validate_pdf_bytes(sheet.pdf, profile=ua.ValidationProfile.PDF_UA_1).is_compliant
