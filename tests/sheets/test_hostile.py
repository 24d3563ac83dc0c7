"""Whatever stands in a card is printed as it stands: typst's own markup, too, is only text."""

from pathlib import Path

import pytest
from faultleaf.sheets import make_sheet

from tests.sheets.printed import Printed, squeezed
from tests.sheets.small import MAKER, small_fronts, small_library

HOSTILE = {
    "code": '#panic("x") #{while true {}}',
    "file": '#read("/etc/passwd") #include "main.typ"',
    "import": '#import "@preview/x:1.0.0": *',
    "markup": "*bold* _thin_ `raw` = head $x^2$ @ref <label>",
    "escapes": r"\ \u{41} \# ~ --- // gone /* gone */",
    "brackets": "]]] }}} ))) [#[ {#{",
    "strings": '" \' \\n \\" \\u0041',
    "html": "<script>alert(1)</script> &lt;",
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_typst_markup_in_every_field_is_printed_as_it_stands(text: str, tmp_path: Path) -> None:
    library = small_library(tmp_path, text)
    fronts = small_fronts(library)
    sheet = Printed("x-letter.pdf", make_sheet(fronts["letter"], MAKER, back=True))
    front = sheet.text(0)
    for words in (library.site.title, library.site.notice, library.tests["look"].title):
        assert text in words or words == library.site.notice
        assert squeezed(words) in front
    assert squeezed(library.tests["look"].outcomes["wet"]) in sheet.text(1)


def test_letters_that_the_font_lacks_leave_a_sheet(tmp_path: Path) -> None:
    fronts = small_fronts(small_library(tmp_path, "\u4e2d\u0628"))
    made = make_sheet(fronts["a4"], MAKER, back=False)
    assert made.startswith(b"%PDF-")
    assert b"pdfuaid" not in made, "a sheet with empty boxes claims no conformity"


def test_invisible_and_turning_letters_do_not_reach_the_paper(tmp_path: Path) -> None:
    fronts = small_fronts(small_library(tmp_path, "a\u202eb\u200bc"))
    text = Printed("x-letter.pdf", make_sheet(fronts["letter"], MAKER, back=False)).text(0)
    assert "abc" in text
    assert not {"\u202e", "\u200b"} & set(text)
