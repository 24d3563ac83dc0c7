"""The words of a sheet's back: each step's method and cautions, and the blanks for what is read."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from faultleaf.cards import Library, Repair, Test
from faultleaf.cards.vocabulary import SIGNAL_WORDS
from faultleaf.physics import unit_named
from faultleaf.sheets.front import Front, Maker
from faultleaf.sheets.job import Drawn, Paper, RepairStep
from faultleaf.sheets.steps import steps_of
from faultleaf.sheets.words import Data, clean, document, known_tests
from faultleaf.words import limits_text, minutes_text

LEVELS: Final = ("full", "tests", "short", "least")
"""How much is told, most first: steps of tests and repairs, of tests alone, of none; blanks, ticks and proofs alone."""
SIZES_PT: Final = (10.0, 9.5, 9.0, 8.5, 8.0)
ONE_LEAF_PT: Final = SIZES_PT[:3]
MOST_PAGES: Final = 3
"""With the front these are two leaves of paper."""


def back_words(drawn: Drawn) -> Data:
    """Everything on the back but the level."""
    library = drawn.library
    words: Data = clean(
        {
            "safe": _cautions(library, drawn.cautions()),
            "tests": [_test(library, number, test) for number, test in known_tests(drawn)],
            "repairs": [_repair(library, one) for one in drawn.repairs()],
        }
    )
    return words


def fitted_back(maker: Maker, sheet: Data, drawn: Drawn, paper: Paper) -> tuple[Data, int]:
    """The back as it serves best, and its pages.

    One page where that takes every test's method in 9 pt or more, else the two leaves that a front and three pages
    fill: in the largest type that takes every test's method, and then as much more as this type takes. Where nothing
    does, little is told, on as many pages as it needs.
    """
    words = back_words(drawn)

    def set_in(size: float, level: str) -> tuple[Data, int]:
        told = {**words, "level": level, "size": size}
        return told, maker.press.measure(document("back-pages", paper, {**sheet, "back": told}))

    for most, sizes in ((1, ONE_LEAF_PT), (MOST_PAGES, SIZES_PT)):
        for size in sizes:
            enough = set_in(size, "tests")
            if enough[1] <= most:
                full = set_in(size, "full")
                return full if full[1] <= most else enough
    short = set_in(SIZES_PT[-1], "short")
    return short if short[1] <= MOST_PAGES else set_in(SIZES_PT[-1], "least")


def with_back(front: Front, maker: Maker) -> Data:
    """All that the template is given of a sheet with both its sides."""
    sheet = front.data(back=True)
    words, pages = fitted_back(maker, sheet, front.drawn, front.paper)
    return {**sheet, "back": words, "pages": 1 + pages}


def _test(library: Library, number: str, test: Test) -> Data:
    reading, unit = _reading(library, test)
    return {
        "number": number,
        "title": test.title,
        "effort": _effort(test),
        "wait": minutes_text(test.wait) if test.wait else "",
        "asks": test.asks,
        "how": test.how or "",
        "outcomes": [
            {"words": words, "limits": limits_words(test, name), "wanted": name == wanted_of(test)}
            for name, words in test.outcomes.items()
        ],
        "reading": reading,
        "unit": unit,
        "steps": steps_of(test, "Steps"),
        "tools": ", ".join(test.tools),
        "parts": "",
        "cautions": _cautions(library, test.cautions),
    }


def _reading(library: Library, test: Test) -> tuple[str, str]:
    """What is written into the blank of a measurement, and its unit; of a worksheet, whose page has its own blanks,
    the result that is asked first."""
    if test.measures:
        return test.measures.quantity, test.measures.unit
    if not test.works_out:
        return "", ""
    sheets = [library.worksheets[one.worksheet].title for one in test.works_out]
    first = library.worksheets[test.works_out[0].worksheet].results[next(iter(test.works_out[0].decides))]
    return f"Worksheet “{'” or “'.join(sheets)}”: {first.title}", unit_named(first.unit).label


def _effort(step: Test | Repair) -> str:
    """Hands-on minutes and lowest rank."""
    return f"{minutes_text(step.takes)} · {step.who}"


def wanted_of(test: Test) -> str:
    """The outcome of a system without this fault: what is seen when the fault lies elsewhere; "" where nothing says."""
    if isinstance(test.otherwise, str):
        return test.otherwise
    shares: dict[str, float] = dict(test.otherwise or {})
    return max(shares, key=lambda name: (shares[name], name), default="")


def limits_words(test: Test, outcome: str) -> str:
    """The limits of a measured outcome with their unit; "" where it is only looked at."""
    return limits_text(test.measures.limits, outcome, test.measures.unit) if test.measures else ""


def _repair(library: Library, one: RepairStep) -> Data:
    fault, repair = one.fault, one.repair
    proof = library.proofs[repair.proof]
    return {
        "number": one.number,
        "fault": fault.title,
        "title": repair.title,
        "effort": _effort(repair),
        "prove": list(repair.prove_first),
        "steps": steps_of(fault, "Repair"),
        "tools": "",
        "parts": ", ".join(repair.parts),
        "proof": proof.title,
        "holds": proof.holds_when,
        "causes": "; ".join(library.faults[name].title for name in fault.comes_from),
        "cautions": _cautions(library, (*fault.cautions, *repair.cautions)),
    }


def _cautions(library: Library, ids: Iterable[str]) -> list[dict[str, Any]]:
    """One line for each signal word, the gravest first: the front tells the rest."""
    cautions = [library.cautions[name] for name in dict.fromkeys(ids)]
    lines = []
    for word in SIGNAL_WORDS:
        texts = [(one.brief or one.title) for one in cautions if one.signal == word]
        lines += [{"word": word.upper(), "text": "; ".join(texts) + "."}] if texts else []
    return lines
