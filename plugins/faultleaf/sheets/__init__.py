"""Sheets on paper: a computed chart with everything that belongs to it → a typeset, tagged PDF.

SheetJob -> words of all blocks -> their heights (typst) -> chart in the room left -> PDF (typst)
"""

from faultleaf.sheets.book import make_book
from faultleaf.sheets.front import Front, Fronts, Maker, choose, go_on
from faultleaf.sheets.job import A4, LETTER, PAPERS, Drawn, Mark, Paper, SheetJob, drawn, turns_over
from faultleaf.sheets.large import make_large
from faultleaf.sheets.make import make_sheet
from faultleaf.sheets.onward import Tally, followed, onward, start_of
from faultleaf.sheets.press import Press, SheetError
from faultleaf.sheets.safe_card import has_stops, make_safe_card

__all__ = [
    "A4",
    "LETTER",
    "PAPERS",
    "Drawn",
    "Front",
    "Fronts",
    "Maker",
    "Mark",
    "Paper",
    "Press",
    "SheetError",
    "SheetJob",
    "Tally",
    "choose",
    "drawn",
    "followed",
    "go_on",
    "has_stops",
    "make_book",
    "make_large",
    "make_safe_card",
    "make_sheet",
    "onward",
    "start_of",
    "turns_over",
]
