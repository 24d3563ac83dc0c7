"""The page of the water ledger: the boiler once, then a line for every look at the glass."""

from dataclasses import dataclass
from typing import Final

from faultleaf.cards import Library
from faultleaf.cards.urls import LEDGER_PAGE
from faultleaf.pages.common import CautionView, caution_views
from faultleaf.pages.page import Heading, SitePage
from faultleaf.pages.render import render_page
from faultleaf.physics import unit_named

ROWS: Final = 8
"""Looks that have room on the page."""
CAUTIONS: Final = ("never-fire-a-flooded-boiler", "cutoff-must-work", "hint-not-proof")


@dataclass(frozen=True)
class Asked:
    """A field of the ledger: its id, words, where it is read, its unit, and what stands there at first."""

    id: str
    title: str
    where: str
    unit: str
    first: str
    give: str | None = None

    @property
    def label(self) -> str:
        """The unit as people write it."""
        return unit_named(self.unit).label


BOILER: Final = (
    Asked("area", "Gallons per inch of glass", "Worksheet: Gallons in an inch of glass", "gal/in", "1.2", "0.1"),
    Asked("level", "One reading is right to within", "Tape on a still glass 1/16; by eye 1/8", "in", "1/8"),
    Asked("warmth", "The thermometer is right to within", "On bare iron at the water line, some 5",
          "degF difference", "5"),
    Asked("content", "Water in the boiler", "The maker's sheet", "gal", "10"),
    Asked("away", "Most water that may still come home", "0 after a night's rest; else the condensate worksheet",
          "gal", "0"),
    Asked("counter", "The meter or counter is right to within", "A feeder that counts its doses, some 15", "percent",
          "15"),
    Asked("matters", "Smallest leak that must not be missed", "A gallon a day is 0.042 gal an hour", "gal/h", "0.042"),
)  # fmt: skip
LOOK: Final = (
    Asked("time", "Time", "A clock time, 22:30; or hours since the first look", "h", ""),
    Asked("at", "Water in the glass", "Above any mark; always the same one", "in", ""),
    Asked("warm", "Block at the water line", "Thermometer", "degF", ""),
    Asked("counted", "Counter, since look 1", "Empty for none", "gal", ""),
    Asked("drained", "Drained, since look 1", "Bucket; empty for none", "gal", ""),
)


@dataclass(frozen=True)
class LedgerView:
    """Everything on the ledger's page."""

    cautions: tuple[CautionView, ...]
    boiler: tuple[Asked, ...]
    look: tuple[Asked, ...]
    rows: int


def ledger_page(library: Library) -> SitePage:
    """The page "Water ledger"; a library without some of the usual cautions shows those that it has."""
    named = [name for name in CAUTIONS if name in library.cautions]
    view = LedgerView(caution_views(library, named), BOILER, LOOK, ROWS)
    headings = [
        Heading("boiler", "The boiler"),
        Heading("looks", "Looks at the glass"),
        Heading("says", "What it says"),
    ]
    return render_page(
        "ledger.html", LEDGER_PAGE, view, library.site,
        title="Water ledger", description="Was the water let in, called in, or did it come home?",
        headings=headings, acts=True, group="worksheets", shell="worksheet",
    )  # fmt: skip
