"""A firm's name, mark, telephone and address on its sheets, from site.yml."""

from io import BytesIO
from pathlib import Path

import page as ua
import pytest
from faultleaf.cards import Library
from faultleaf.intake import Layer
from faultleaf.pipeline.sheets import sheet_maker
from faultleaf.sheets import choose, make_sheet
from faultleaf.sheets.qr import qr_rows
from pypdf import PdfReader

from tests.library import make_library
from tests.pages.samples import EVERYTHING
from tests.sheets.printed import Printed, squeezed
from tests.sheets.small import small_job

SVG = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'><rect width='9' height='9' fill='black'/></svg>"
FIRM = {
    "firm": "Boilerwright & Daughter",
    "telephone": "555 0100",
    "mark": "glass",
    "address": "https://example.org/b/",
}


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("firm")


@pytest.fixture(scope="module")
def library(home: Path) -> Library:
    site = {**EVERYTHING["site"], **FIRM}  # type: ignore[dict-item]
    return make_library(home, {**EVERYTHING, "site": site, "pictures/glass.svg": SVG})


@pytest.fixture(scope="module")
def sheet(library: Library, home: Path) -> Printed:
    maker = sheet_maker(library, [Layer(home, "content")])
    job = small_job(library, maker.mark)
    return Printed("firm-letter.pdf", make_sheet(choose(job, maker)["letter"], maker, back=False))


def test_name_telephone_and_address_are_printed(sheet: Printed) -> None:
    text = sheet.text(0)
    assert squeezed("Boilerwright & Daughter 555 0100") in text
    address = "https://example.org/b/work-the-call.html#say=overfills&on=automatic"
    assert address in text, "the code of squares is never the only path"
    assert len(sheet.pages) == 1


def test_mark_is_a_figure_with_its_words(sheet: Printed) -> None:
    catalog = PdfReader(BytesIO(sheet.pdf)).trailer["/Root"]
    assert figures(catalog["/StructTreeRoot"]) == ["A glass§"]  # type: ignore[index]
    assert ua.validate_pdf_bytes(sheet.pdf, profile=ua.ValidationProfile.PDF_UA_1).is_compliant


def figures(node: object) -> list[str]:
    """The words of every figure in the tree of tags."""
    found: list[str] = []
    waiting = [node]
    while waiting:
        one = waiting.pop()
        one = one.get_object() if hasattr(one, "get_object") else one
        if isinstance(one, list):
            waiting += one
        elif isinstance(one, dict):
            found += [str(one["/Alt"])] if one.get("/S") == "/Figure" else []
            waiting.append(one.get("/K"))
    return found


def test_code_has_the_three_finder_patterns_of_iso_18004_and_needs_an_address() -> None:
    rows = qr_rows("https://example.org/b/symptoms/overfills.html")
    ring = [[1] * 7, [1, 0, 0, 0, 0, 0, 1], *[[1, 0, 1, 1, 1, 0, 1]] * 3, [1, 0, 0, 0, 0, 0, 1], [1] * 7]
    size = len(rows)
    assert size % 4 == 1
    for top, left in ((0, 0), (0, size - 7), (size - 7, 0)):
        assert [row[left : left + 7] for row in rows[top : top + 7]] == ring
    assert qr_rows("") == []
