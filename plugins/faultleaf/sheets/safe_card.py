"""The make-safe card: every stop of the library on one page, to be laminated and hung beside the boiler."""

from __future__ import annotations

from typing import Final

from faultleaf.cards import Caution, Library
from faultleaf.cards.models import Stop
from faultleaf.sheets.front import Maker
from faultleaf.sheets.job import Paper
from faultleaf.sheets.words import Data, clean, document, notices
from faultleaf.words import capital, graveness, uncapital

TITLE: Final = "Stop: make safe first"
TO_FILL: Final = ("This house", "Ways out, and where we meet", "Fuel shut-off", "Power shut-off",
                  "Fire service, ambulance", "Fuel utility", "Boiler contractor")  # fmt: skip
"""What only the people of a house know; written on the card by hand."""


def has_stops(library: Library) -> bool:
    """Whether there is anything to tell."""
    return any(test.stops for test in library.tests.values())


def make_safe_card(library: Library, paper: Paper, maker: Maker) -> bytes:
    """The card as a PDF. Raises ValueError where no test of the library has a stop."""
    if not has_stops(library):
        raise ValueError("no test has an outcome that stops a call")
    words = {
        "title": TITLE,
        "variant": "every steam boiler",
        "publisher": library.site.firm or library.site.title,
        "telephone": library.site.telephone or "",
        "invented": library.site.invented or "",
        "lang": "en",
        "stops": _stops(library),
        "to_fill": list(TO_FILL),
        "notices": notices(library),
    }
    return maker.press.pdf(document("safe-card", paper, clean(words)))


def _stops(library: Library) -> list[Data]:
    """What is seen, what to do now and whom to call, once for each caution, the gravest first."""
    found: dict[str, list[tuple[str, Stop]]] = {}
    for test in library.tests.values():
        for outcome, stop in test.stops.items():
            found.setdefault(stop.caution, []).append((test.outcomes[outcome], stop))
    cautions = sorted((library.cautions[name] for name in found), key=lambda one: (graveness(one), one.title))
    return [_told(library, caution, found[caution.id]) for caution in cautions]


def _told(library: Library, caution: Caution, seen: list[tuple[str, Stop]]) -> Data:
    calls = dict.fromkeys(stop.call or library.site.call for _, stop in seen)
    return {
        "word": caution.signal.upper(),
        "symbol": caution.symbol,
        "title": caution.title,
        "seen": [capital(seen[0][0]), *(uncapital(words) for words, _ in seen[1:])],
        "now": caution.avoid,
        "why": caution.consequence,
        "call": capital("; or ".join(calls)),
    }
