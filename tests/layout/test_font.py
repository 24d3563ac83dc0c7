"""The shipped font: what it holds and how large it reads."""

from __future__ import annotations

from pathlib import Path

import pytest
from faultleaf.layout import Face
from faultleaf.layout.metrics import MM_PER_PT
from faultleaf.pipeline.fonts import BOLD, FONT_FOLDER, REGULAR, load_metrics
from fontTools.ttLib import TTFont

NEEDED = "AZaz09 äöüßÄÖÜéèçñåøŁőžŠ°½¼¾×÷±µΩ≤≥≈−→←•–—‘’“”…′″✓"


@pytest.mark.parametrize("bold", [False, True])
def test_every_letter_that_cards_need_is_in_the_font(bold: bool) -> None:
    metrics = load_metrics()
    face = metrics.bold if bold else metrics.regular
    assert [letter for letter in NEEDED if ord(letter) not in face.advances] == []


def test_small_letters_are_tall_enough_for_wet_hands_and_bad_light() -> None:
    # NASA CR-177605 (Degani 1992), at second hand: 2.54 mm for important text; 2.1 mm for the rest.
    face = load_metrics().regular
    height = face.x_height / face.units_per_em * MM_PER_PT
    assert height * 14 >= 2.54
    assert height * 12 >= 2.1


@pytest.mark.parametrize("name", [REGULAR, BOLD])
def test_nothing_in_the_font_moves_letters_and_it_names_its_licence(name: str) -> None:
    with TTFont(FONT_FOLDER / name) as font:
        assert not {"GPOS", "GSUB", "kern"} & set(font.keys())
        assert "Open Font License" in font["name"].getDebugName(13)
    assert "SIL OPEN FONT LICENSE Version 1.1" in Path(FONT_FOLDER / "OFL.txt").read_text(encoding="utf-8")


def test_a_letter_that_the_font_lacks_counts_a_full_em() -> None:
    assert Face({ord("a"): 500}, 1000, 500, 700, 900, -300).width_em("aå") == 1.5
