"""sheets/back.py: what is written into the blanks of a measurement."""

from pathlib import Path

from faultleaf.sheets import drawn
from faultleaf.sheets.back import back_words

from tests.sheets.small import small_job, small_library


def test_a_reading_or_the_worksheet_by_name_has_a_blank_with_its_unit(tmp_path: Path) -> None:
    tests = {one["title"]: one for one in back_words(drawn(small_job(small_library(tmp_path)), 6))["tests"]}
    hold = tests["Hold it"]
    assert (hold["reading"], hold["unit"], hold["wait"]) == ("Worksheet “Head”: Stands", "h", "4 h")
    assert tests["Look at the glass"]["reading"] == ""
    for one in tests.values():
        assert (one["reading"] == "") == (one["unit"] == "")
