"""The large-print edition: the same chart in type of 16 pt or more, cut into numbered sheets."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from faultleaf.cards import Caution, Library
from faultleaf.layout import DoesNotFit, Frame, lay_out_sheets
from faultleaf.sheets.chart_data import chart_data
from faultleaf.sheets.front import Front, Maker
from faultleaf.sheets.job import MARGIN_MM, Drawn, RepairStep
from faultleaf.sheets.press import SheetError
from faultleaf.sheets.words import Data, clean, document, front_words, known_tests
from faultleaf.words import graveness

LARGER: Final = 1.6
"""The chart is laid out so many times smaller and drawn so many times larger: 10 pt becomes 16 pt."""
BETWEEN_MM: Final = 3.5
MOST_FULL: Final = 3
"""Cautions told at length at the head of a sheet (STANDARDS: at most three); the others take a line each."""
PANELS: Final = (("danger",), ("warning", "caution"), ("notice",))
"""The signal words of each panel at the head of a sheet."""


def make_large(front: Front, maker: Maker) -> bytes:
    """The edition as a PDF: what comes before on one sheet, the chart on others, what is proved on the last.

    Every sheet with a step repeats cautions and notice. Raises SheetError where they leave no room for a box.
    """
    paper, one = front.paper, front.drawn
    size = {"width": paper.width_mm, "height": paper.height_mm}
    words = {**front_words(one, front.ends, back=False), **_more_words(one), "paper": size}
    tall = maker.press.measure(document("large-height", paper, words)) + BETWEEN_MM
    width, height = paper.width_mm - 2 * MARGIN_MM, paper.height_mm - 2 * MARGIN_MM - tall
    try:
        parts = lay_out_sheets(one.chart, maker.metrics, Frame(width / LARGER, height / LARGER))
    except (DoesNotFit, ValueError):
        raise SheetError(f"{one.job.symptom.id}: cautions and notices leave no room for large print") from None
    charts = [chart_data(part, LARGER) for part in parts]
    return maker.press.pdf(document("large", paper, {**words, "charts": charts}))


def _more_words(drawn: Drawn) -> Data:
    """What is told at length where paper is no matter."""
    words: Data = clean(
        {
            "panels": panels(drawn.library, drawn.cautions(), drawn.job.symptom.make_safe),
            "tools": ", ".join(tools_of(drawn)) or "none",
            "first": first_checks(drawn),
            "ends": [_end(drawn.library, one) for one in drawn.repairs()],
        }
    )
    return words


def tools_of(drawn: Drawn) -> tuple[str, ...]:
    """The tools of all tests, once each."""
    return tuple(dict.fromkeys(tool for _, test in known_tests(drawn) for tool in test.tools))


def panels(library: Library, ids: Iterable[str], at_length: Iterable[str]) -> list[Data]:
    """At most three panels, the gravest first: DANGER, what else hurts people under its gravest word, NOTICE.

    The gravest of `at_length` are told in full, three at most; the others take a line each. Several hazards under
    the gravest word of theirs: ANSI Z535.4, as ISO 9244:2020 words it (at second hand).
    """
    cautions = sorted((library.cautions[name] for name in ids), key=graveness)
    full = sorted((library.cautions[name] for name in at_length), key=graveness)
    gravest = [one for one in full if one.signal == full[0].signal]
    long = {one.id for one in gravest[:MOST_FULL]}
    groups = ([one for one in cautions if one.signal in words] for words in PANELS)
    return [
        {
            "word": group[0].signal.upper(),
            "full": [_caution(one) for one in group if one.id in long],
            "brief": [_caution(one) for one in group if one.id not in long],
        }
        for group in groups
        if group
    ]


def _caution(caution: Caution) -> Data:
    fields = ("symbol", "title", "hazard", "consequence", "avoid")
    return {"brief": caution.brief or caution.avoid, **{name: getattr(caution, name) for name in fields}}


def first_checks(drawn: Drawn) -> list[Data]:
    """The tests that come first on this symptom, with their numbers on the chart."""
    numbers = {test.id: number for number, test in known_tests(drawn)}
    return [
        {"number": numbers[check.test], "title": drawn.library.tests[check.test].title, "because": check.because}
        for check in drawn.job.symptom.first
        if check.test in numbers
    ]


def _end(library: Library, one: RepairStep) -> Data:
    return {
        "number": one.number,
        "title": one.repair.title,
        "prove": [text.rstrip(".") for text in one.repair.prove_first],
        "proof": library.proofs[one.repair.proof].title,
        "causes": [library.faults[name].title for name in one.fault.comes_from],
    }
