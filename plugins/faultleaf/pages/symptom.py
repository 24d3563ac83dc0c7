"""A symptom's page: make safe, what comes first, the causes with their shares, the tests, the charts."""

from dataclasses import asdict, dataclass

import numpy as np
from markupsafe import Markup

from faultleaf.cards import Library, Symptom, card_url, chart_url, graph_url
from faultleaf.cards.urls import call_url, slug
from faultleaf.diagnosis import UNLISTED, Belief, Problem
from faultleaf.layout import OutlineStep
from faultleaf.pages.chart import plan_cautions
from faultleaf.pages.common import (
    CautionView,
    Link,
    Part,
    Provenance,
    basis_text,
    book_links,
    caution_views,
    firm_words,
    lead_of,
    link_to,
    parts_of,
    provenance,
    sheet_links,
)
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.pages.worked import WorkedSymptom, WorkedVariant
from faultleaf.words import (
    capital,
    effort_of,
    ends_text,
    equipment_text,
    factor_text,
    rate_text,
    share_text,
    strength_text,
)

LIKELIER = 1.5
"""A finding is worth naming for a cause when it makes it so many times likelier or less likely."""

NAMED_PER_OUTCOME = 3
BAR_WIDTH = 100.0


@dataclass(frozen=True)
class CauseRow:
    """One cause: its share of such calls, the bar for it (0 to 100) and where the numbers come from."""

    link: Link
    component: str
    share: str
    bar: float
    rate: str
    strength: str
    basis: str
    found_on: str


@dataclass(frozen=True)
class CauseTable:
    """The causes for one kind of system."""

    id: str
    name: str
    rows: tuple[CauseRow, ...]
    unlisted: str
    unlisted_bar: float


@dataclass(frozen=True)
class OutcomeSays:
    """What one outcome does to the causes."""

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
class ChartCard:
    """A variant's chart: where it prints, how calls end that follow it, and how firm its first step is."""

    name: str
    link: Link
    ends: str
    firm: str
    boxes: int
    svg: Markup
    downloads: tuple[Link, ...]
    outline: tuple[OutlineStep, ...]


@dataclass(frozen=True)
class FirstRow:
    """A test that comes first, and why."""

    link: Link
    because: str
    effort: str


@dataclass(frozen=True)
class SymptomView:
    """Everything on a symptom's page."""

    title: str
    emergency: bool
    work: Link
    also_said: tuple[str, ...]
    lead: Markup
    make_safe: tuple[CautionView, ...]
    cautions: tuple[CautionView, ...]
    first: tuple[FirstRow, ...]
    parts: tuple[Part, ...]
    causes: tuple[CauseTable, ...]
    tests: tuple[RowOfTest, ...]
    charts: tuple[ChartCard, ...]
    book: tuple[Link, ...]
    graph: Link
    provenance: Provenance
    call: str


def page_of_symptom(library: Library, worked: WorkedSymptom) -> SitePage:
    """The page of one symptom."""
    symptom = worked.symptom
    path = card_url(symptom)
    base = base_of(path)
    view = SymptomView(
        title=symptom.title,
        emergency=symptom.emergency,
        work=Link("Work this call", call_url(symptom.id)),
        also_said=symptom.said_in_print,
        lead=lead_of(symptom, base),
        make_safe=caution_views(library, symptom.make_safe),
        cautions=caution_views(library, _further_cautions(library, worked)),
        first=tuple(_first_row(library, check.test, check.because) for check in symptom.first),
        parts=(*parts_of(symptom, base, symptom.sections), *parts_of(symptom, base)),
        causes=_cause_tables(library, worked),
        tests=() if symptom.emergency else rows_of_tests(library, worked.problem, worked.belief),
        charts=tuple(_chart_card(library, symptom, variant) for variant in worked.variants),
        book=book_links(worked.variants),
        graph=Link(f"The causes of “{symptom.title}” as a drawing", graph_url(symptom)),
        provenance=provenance(library, symptom),
        call=library.site.call,
    )
    headings = [Heading("make-safe", "Make safe")]
    headings += [Heading("first", "First, always")] if view.first else []
    headings += [Heading("charts", "Flowcharts")] if view.charts else []
    headings += [Heading("causes", "Causes"), *(part.heading for part in view.parts)]
    headings += [Heading("tests", "Tests")] if view.tests else []
    headings += [Heading("numbers", "Where the numbers come from")]
    description = f"{symptom.title}: causes by share of such calls, tests, and a flowchart to print."
    return render_page(
        "symptom.html", path, view, library.site,
        title=symptom.title, description=description, headings=headings, acts=True, group="symptoms",
    )  # fmt: skip


def _further_cautions(library: Library, worked: WorkedSymptom) -> list[str]:
    """The cautions of every test and every drawn repair of the page, without those of `make_safe`."""
    tests = [library.tests[test.id] for test in worked.problem.tests if test.id in library.tests]
    named = [name for test in tests for name in test.cautions]
    named += [name for variant in worked.variants for name in plan_cautions(library, variant.plan)]
    return [name for name in dict.fromkeys(named) if name not in worked.symptom.make_safe]


def _first_row(library: Library, name: str, because: str) -> FirstRow:
    test = library.tests[name]
    return FirstRow(link_to(test), because, effort_of(test))


def _cause_tables(library: Library, worked: WorkedSymptom) -> tuple[CauseTable, ...]:
    tables = [cause_table(library, worked.symptom, "any system", worked.belief)]
    tables += [cause_table(library, worked.symptom, variant.name, variant.belief) for variant in worked.variants]
    return tuple(tables)


def cause_table(library: Library, symptom: Symptom, name: str, belief: Belief) -> CauseTable:
    """The causes by their share, likeliest first; those that this equipment rules out are left out."""
    shares = dict(belief.ranked())
    largest = max(shares.values()) or 1.0
    rows = [
        _cause_row(library, symptom, fault, share, largest)
        for fault, share in shares.items()
        if fault != UNLISTED and share > 0
    ]
    unlisted = shares.get(UNLISTED, 0.0)
    return CauseTable(
        slug(name), capital(name), tuple(rows), share_text(unlisted),
        round(BAR_WIDTH * unlisted / largest, 1),
    )  # fmt: skip


def _cause_row(library: Library, symptom: Symptom, name: str, share: float, largest: float) -> CauseRow:
    fault = library.faults[name]
    strength = fault.symptoms.get(symptom.id)
    return CauseRow(
        link=link_to(fault),
        component=library.components[fault.component].title,
        share=share_text(share),
        bar=round(BAR_WIDTH * share / largest, 1),
        rate=rate_text(fault.how_common),
        strength=strength_text(strength) if strength is not None else "not named",
        basis=basis_text(library, fault.basis or ""),
        found_on=equipment_text(library, fault.place(symptom.id)),
    )


def rows_of_tests(library: Library, problem: Problem, belief: Belief) -> tuple[RowOfTest, ...]:
    """The tests of a problem with what each outcome says now, quickest first."""
    rows = []
    for test in sorted(problem.tests, key=lambda test: (test.minutes, test.id)):
        card = library.tests.get(test.id)
        if card is None:
            continue  # a question about the equipment, shown with the charts
        reached = belief.probabilities @ test.table
        outcomes = tuple(
            _outcome_says(library, belief, test.table[:, index], float(reached[index]), words)
            for index, words in enumerate(card.outcomes.values())
        )
        only_on = equipment_text(library, card.found_on)
        rows.append(RowOfTest(link_to(card), card.asks, effort_of(card), only_on, outcomes))
    return tuple(rows)


def _outcome_says(
    library: Library, belief: Belief, column: np.ndarray[tuple[int], np.dtype[np.float64]], reached: float, words: str
) -> OutcomeSays:
    factors = column / reached if reached > 0 else np.ones_like(column)
    after = dict.fromkeys(belief.causes, 0.0)
    for cause, share in zip(belief.causes, belief.probabilities * factors, strict=True):
        after[cause] += float(share)
    weight = belief.by_cause
    possible = [(after[fault] / share, fault) for fault, share in weight.items() if share > 0 and fault != UNLISTED]
    # A cause gains attention by what it ends up with; it loses by what it had.
    up = sorted((p for p in possible if p[0] >= LIKELIER), key=lambda p: (-p[0] * weight[p[1]], p[1]))
    down = sorted((p for p in possible if p[0] <= 1 / LIKELIER), key=lambda p: (-weight[p[1]], p[1]))
    return OutcomeSays(
        words,
        share_text(reached),
        tuple(link_to(library.faults[fault], factor_text(factor)) for factor, fault in up[:NAMED_PER_OUTCOME]),
        tuple(link_to(library.faults[fault], factor_text(factor)) for factor, fault in down[:NAMED_PER_OUTCOME]),
    )


def _chart_card(library: Library, symptom: Symptom, variant: WorkedVariant) -> ChartCard:
    return ChartCard(
        name=capital(variant.name),
        link=Link(capital(variant.name), chart_url(symptom, variant.name)),
        ends=ends_text(**asdict(variant.endings)),
        firm=firm_words(library, variant),
        boxes=len(variant.plan.boxes),
        svg=Markup(variant.svg),
        downloads=sheet_links(symptom, variant),
        outline=variant.outline,
    )
