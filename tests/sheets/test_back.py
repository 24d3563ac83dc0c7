"""sheets/back.py: what is written into the blanks of a measurement."""

from pathlib import Path

from faultleaf.sheets.back import back_words

from tests.sheets.small import MAKER, small_fronts, small_library


def test_a_reading_or_the_worksheet_by_name_has_a_blank_with_its_unit(tmp_path: Path) -> None:
    front = small_fronts(small_library(tmp_path))["letter"]
    tests = {one["title"]: one for one in back_words(front, MAKER)["entries"] if one["kind"] == "test"}
    hold = tests["Hold it"]
    assert (hold["reading"], hold["unit"], hold["wait"]) == ("Worksheet “Head”: Stands", "h", "4 h")
    assert tests["Look at the glass"]["reading"] == ""
    for one in tests.values():
        assert (one["reading"] == "") == (one["unit"] == "")
