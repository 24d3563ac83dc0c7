"""Every cause of a symptom with its share on each kind of system, and every test that speaks of one of them."""

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Final

import numpy as np

from faultleaf.cards import Library, Symptom, Test, card_url, chart_url
from faultleaf.cards.urls import causes_url, slug
from faultleaf.diagnosis import UNLISTED, Belief, Problem
from faultleaf.pages.chart import plan_cautions
from faultleaf.pages.common import (
    CautionView,
    Dots,
    Link,
    Provenance,
    caution_views,
    firm_words,
    link_to,
    often,
    provenance,
    share,
    sheet_links,
)
from faultleaf.pages.page import Heading, SitePage
from faultleaf.pages.render import render_page
from faultleaf.pages.worked import WorkedSymptom, WorkedVariant
from faultleaf.words import capital, effort_of, ends_text, equipment_text, share_text

LIKELIER: Final = 1.5
"""A finding is worth naming for a cause when it makes it so many times likelier or less likely."""

NAMED_PER_OUTCOME: Final = 3


@dataclass(frozen=True)
class CauseRow:
    """One cause with its share of such calls, the component it lives in, and how often it shows so."""

    link: Link
    component: str
    found_on: str
    shows: Dots | None


@dataclass(frozen=True)
class CauseTable:
    """The causes for one kind of system."""

    id: str
    name: str
    rows: tuple[CauseRow, ...]
    unlisted: str


@dataclass(frozen=True)
class OutcomeSays:
    """What one outcome does to the causes, the most telling first."""

    words: str
    share: str
    likelier: tuple[Link, ...]
    less: tuple[Link, ...]


@dataclass(frozen=True)
class RowOfTest:
    """One test of this symptom, with what each outcome says."""

    link: Link
    asks: str
    effort: str
    only_on: str
    outcomes: tuple[OutcomeSays, ...]


@dataclass(frozen=True)
class ChartRow:
    """A variant's chart: where it prints, how calls end that follow it, and how firm its first step is."""

    link: Link
    ends: str
    firm: str
    downloads: tuple[Link, ...]


@dataclass(frozen=True)
class CausesView:
    """Everything on the page."""

    symptom: Link
    also_said: tuple[str, ...]
    cautions: tuple[CautionView, ...]
    first: tuple[Link, ...]
    tables: tuple[CauseTable, ...]
    tests: tuple[RowOfTest, ...]
    charts: tuple[ChartRow, ...]
    provenance: Provenance


def causes_page(library: Library, worked: WorkedSymptom) -> SitePage:
    """The page of all causes and tests of one symptom."""
    symptom = worked.symptom
    view = CausesView(
        symptom=Link(symptom.title, card_url(symptom)),
        also_said=symptom.said_in_print,
        cautions=caution_views(library, [*symptom.make_safe, *_cautions(library, worked)]),
        first=tuple(link_to(library.tests[check.test], check.because) for check in symptom.first),
        tables=tuple(_tables(library, worked)),
        tests=() if symptom.emergency else rows_of_tests(library, symptom, worked.problem, worked.belief),
        charts=tuple(_chart_row(library, symptom, variant) for variant in worked.variants),
        provenance=provenance(library, symptom),
    )
    headings = [Heading("first", "First, always")] if view.first else []
    headings += [Heading("causes", "Causes")]
    headings += [Heading("charts", "How calls end")] if view.charts else []
    headings += [Heading("tests", "Tests")] if view.tests else []
    headings += [Heading("numbers", "Where the numbers come from")]
    title = f"All causes: {symptom.title}"
    return render_page(
        "causes.html", causes_url(symptom), view, library.site,
        title=title, description=f"{symptom.title}: every cause by its share of such calls, and every test.",
        headings=headings, acts=True,
    )  # fmt: skip


def _cautions(library: Library, worked: WorkedSymptom) -> Iterator[str]:
    """The cautions of every test and every drawn repair of the symptom."""
    for test in worked.problem.tests:
        if test.id in library.tests:
            yield from library.tests[test.id].cautions
    for variant in worked.variants:
        yield from plan_cautions(library, variant.plan)


def _tables(library: Library, worked: WorkedSymptom) -> Iterator[CauseTable]:
    yield cause_table(library, worked.symptom, "any system", worked.belief)
    for variant in worked.variants:
        yield cause_table(library, worked.symptom, variant.name, variant.belief)


def cause_table(library: Library, symptom: Symptom, name: str, belief: Belief) -> CauseTable:
    """The causes by their share, likeliest first; those that this equipment rules out are left out."""
    shares = dict(belief.ranked())
    rows = [
        _cause_row(library, symptom, fault, value) for fault, value in shares.items() if fault != UNLISTED and value > 0
    ]
    return CauseTable(slug(name), capital(name), tuple(rows), share_text(shares.get(UNLISTED, 0.0)))


def _cause_row(library: Library, symptom: Symptom, name: str, value: float) -> CauseRow:
    fault = library.faults[name]
    strength = fault.symptoms.get(symptom.id)
    return CauseRow(
        link=link_to(fault, share_text(value), share(value)),
        component=library.components[fault.component].title,
        found_on=equipment_text(library, fault.place(symptom.id)),
        shows=often(strength) if strength is not None else None,
    )


def rows_of_tests(library: Library, symptom: Symptom, problem: Problem, belief: Belief) -> tuple[RowOfTest, ...]:
    """The tests that a cause of the symptom shows something at or that come first, with what each outcome says now.

    Quickest first. A question about the equipment is no test of the cards, and stands with the charts.
    """
    named = {test for fault in library.faults.values() if symptom.id in fault.symptoms for test in fault.named_tests}
    named |= {check.test for check in symptom.first}
    rows = []
    for test in sorted(problem.tests, key=lambda test: (test.minutes, test.id)):
        if test.id in named and test.id in library.tests:
            rows.append(_row_of_test(library, library.tests[test.id], test.table, belief))
    return tuple(rows)


def _row_of_test(
    library: Library, card: Test, table: np.ndarray[tuple[int, ...], np.dtype[np.float64]], belief: Belief
) -> RowOfTest:
    reached = belief.probabilities @ table
    outcomes = tuple(
        _outcome_says(library, belief, table[:, index], float(reached[index]), words)
        for index, words in enumerate(card.outcomes.values())
    )
    return RowOfTest(link_to(card), card.asks, effort_of(card), equipment_text(library, card.found_on), outcomes)


def _outcome_says(
    library: Library, belief: Belief, column: np.ndarray[tuple[int], np.dtype[np.float64]], reached: float, words: str
) -> OutcomeSays:
    factors = column / reached if reached > 0 else np.ones_like(column)
    after = dict.fromkeys(belief.causes, 0.0)
    for cause, value in zip(belief.causes, belief.probabilities * factors, strict=True):
        after[cause] += float(value)
    weight = belief.by_cause
    possible = [(after[fault] / value, fault) for fault, value in weight.items() if value > 0 and fault != UNLISTED]
    # A cause gains attention by what it ends up with; it loses by what it had.
    up = sorted((p for p in possible if p[0] >= LIKELIER), key=lambda p: (-p[0] * weight[p[1]], p[1]))
    down = sorted((p for p in possible if p[0] <= 1 / LIKELIER), key=lambda p: (-weight[p[1]], p[1]))
    return OutcomeSays(
        words,
        share_text(reached),
        tuple(link_to(library.faults[fault]) for _, fault in up[:NAMED_PER_OUTCOME]),
        tuple(link_to(library.faults[fault]) for _, fault in down[:NAMED_PER_OUTCOME]),
    )


def _chart_row(library: Library, symptom: Symptom, variant: WorkedVariant) -> ChartRow:
    return ChartRow(
        link=Link(capital(variant.name), chart_url(symptom, variant.name)),
        ends=ends_text(**asdict(variant.endings)),
        firm=firm_words(library, variant),
        downloads=sheet_links(symptom, variant),
    )
