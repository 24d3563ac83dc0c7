"""A test's page: cautions, steps, what each reading means, which faults it splits."""

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from faultleaf.cards import Library, Test, card_url, otherwise_rates
from faultleaf.cards.words import minutes_text, rank_text
from faultleaf.pages.common import (
    CautionView,
    Link,
    Part,
    Provenance,
    caution_views,
    equipment_text,
    lead_of,
    link_to,
    parts_of,
    provenance,
)
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.pages.words import strength_text


@dataclass(frozen=True)
class OutcomeRow:
    """One outcome: in words, its limits, and the faults that show it."""

    words: str
    limits: str
    otherwise: str
    faults: tuple[Link, ...]


@dataclass(frozen=True)
class Condition:
    """A finding that the test depends on."""

    test: Link
    seen: str


@dataclass(frozen=True)
class ViewOfTest:
    """Everything on a test's page."""

    title: str
    asks: str
    how: str
    why: str
    lead: Markup
    takes: str
    wait: str
    who: str
    only_on: str
    tools: tuple[str, ...]
    measures: str
    needs: tuple[Condition, ...]
    never_when: tuple[Condition, ...]
    cautions: tuple[CautionView, ...]
    steps: tuple[Part, ...]
    tells: tuple[Part, ...]
    outcomes: tuple[OutcomeRow, ...]
    more: tuple[Part, ...]
    provenance: Provenance


def page_of_test(library: Library, test: Test) -> SitePage:
    """The page of one test."""
    path = card_url(test)
    base = base_of(path)
    view = ViewOfTest(
        title=test.title,
        asks=test.asks,
        how=test.how or "",
        why=test.why or "",
        lead=lead_of(test, base),
        takes=minutes_text(test.takes),
        wait=minutes_text(test.wait) if test.wait else "",
        who=rank_text(test.who),
        only_on=equipment_text(library, test.found_on),
        tools=test.tools,
        measures=f"{test.measures.quantity}, in {test.measures.unit}" if test.measures else "",
        needs=_conditions(library, test.needs),
        never_when=_conditions(library, test.never_when),
        cautions=caution_views(library, test.cautions),
        steps=parts_of(test, base, ["Steps"]),
        tells=parts_of(test, base, ["What it tells you"]),
        outcomes=_outcomes(library, test),
        more=parts_of(test, base),
        provenance=provenance(library, test),
    )
    headings = [Heading("steps", "Steps"), Heading("readings", "What each reading means")]
    headings += [*(part.heading for part in view.more), Heading("numbers", "Where the numbers come from")]
    return render_page(
        "test.html", path, view, library.site,
        title=test.title, description=f"{test.title}: {test.asks}", headings=headings, acts=True, group="tests",
    )  # fmt: skip


def _conditions(library: Library, conditions: Mapping[str, tuple[str, ...]]) -> tuple[Condition, ...]:
    return tuple(
        Condition(link_to(library.tests[name]), " or ".join(library.tests[name].outcomes[o] for o in outcomes))
        for name, outcomes in conditions.items()
    )


def _outcomes(library: Library, test: Test) -> tuple[OutcomeRow, ...]:
    rates = otherwise_rates(test)
    rows = []
    for outcome, words in test.outcomes.items():
        showing = [
            (fault.shown_at(test.id)[outcome], fault)
            for fault in library.faults.values()
            if outcome in fault.shown_at(test.id)
        ]
        showing.sort(key=lambda pair: (-pair[0], pair[1].id))
        faults = tuple(link_to(fault, strength_text(strength)) for strength, fault in showing)
        rows.append(OutcomeRow(words, _limits(test, outcome), strength_text(round(rates[outcome], 3)), faults))
    return tuple(rows)


def _limits(test: Test, outcome: str) -> str:
    if test.measures is None:
        return ""
    low, high = test.measures.limits[outcome]
    unit = test.measures.unit
    if high == float("inf"):
        return f"{low:,g} {unit} or more"
    return f"under {high:,g} {unit}" if low <= 0 else f"{low:,g} to under {high:,g} {unit}"
