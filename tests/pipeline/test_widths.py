"""pipeline/widths.py: short words measured in the sheet's own font."""

from pathlib import Path

import pytest
from faultleaf.cards import Library
from faultleaf.pipeline.fonts import BOLD, FONT_FOLDER, REGULAR, load_metrics
from faultleaf.pipeline.widths import too_wide
from fontTools.ttLib import TTFont

from tests.library import make_library, read
from tests.site.sites import REPOSITORY


def library_with(root: Path, order: str, short: str, brief: str) -> Library:
    outcomes = {"seen": "iiiiii", "unseen": "WWWWWWWWWWWWWWWWWW"}
    return make_library(
        root,
        {
            "tests/look": {"short": {"order": order, "asks": "Seen?", "outcomes": outcomes}},
            "faults/worn": {"short": short, "repair": {"title": "Mend it", "takes": "5 min", "proof": "log"}},
            "proofs/log": {},
            "cautions/hot": {"key": "HOT", "order": brief},
        },
    )  # fmt: skip


def test_wide_letters_are_named_with_their_line_and_narrow_ones_are_not(tmp_path: Path) -> None:
    found = list(too_wide(library_with(tmp_path, "i" * 34, "W" * 22, "m" * 28), load_metrics()))
    assert {(one.path, one.field) for one in found} == {
        ("content/tests/look.md", "short.outcomes.unseen"),
        ("content/faults/worn.md", "short"),
        ("content/cautions/hot.md", "order"),
    }
    assert all(one.code == "too-wide" and one.severity == "warning" for one in found)


@pytest.mark.parametrize("face", [REGULAR, BOLD])
def test_the_width_said_is_that_of_the_font_file(face: str, tmp_path: Path) -> None:
    """Advances as fontTools reads them from the file's own table: 10 pt, 25.4/72 mm a point."""
    with TTFont(FONT_FOLDER / face) as font:
        advance = font["hmtx"][font.getBestCmap()[ord("W")]][0] / font["head"].unitsPerEm
    wide = {REGULAR: ("order", "WWWWWWWWWWWWWWWWWW", 18), BOLD: ("short", "W" * 22, 22)}[face]
    found = too_wide(library_with(tmp_path, "i", "W" * 22, "m"), load_metrics())
    said = [one.message for one in found]
    assert any(f"{wide[2] * advance * 10 * 25.4 / 72:.1f} mm wide" in message for message in said)


def test_every_word_of_the_shipped_library_fits() -> None:
    library = read(REPOSITORY / "content")
    assert [str(one) for one in too_wide(library, load_metrics())] == []
    assert all(test.short for test in library.tests.values())
    assert all(feature.short for feature in library.equipment.values())
    assert all(fault.short and all(one.act for one in fault.all_repairs) for fault in library.faults.values())
