"""A test's page: cautions, steps, what each reading means, which faults it splits."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from faultleaf.cards import Library, Test, card_url, otherwise_rates
from faultleaf.pages.common import (
    CautionView,
    Link,
    Part,
    Provenance,
    caution_views,
    lead_of,
    link_to,
    parts_of,
    provenance,
)
from faultleaf.pages.drawn import Drawings, DrawnView
from faultleaf.pages.linked import WaitView, WorkedView, wait_view, worked_views
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.words import equipment_text, limits_text, minutes_text, rank_text, strength_text


@dataclass(frozen=True)
class OutcomeRow:
    """One outcome: in words, its limits, what it is elsewhere (plainly, then where that differs), the faults."""

    words: str
    limits: str
    otherwise: str
    otherwise_where: tuple[tuple[str, str], ...]
    faults: tuple[Link, ...]


@dataclass(frozen=True)
class StopView:
    """An outcome that means danger: what to do now, whom to call, and what alone may still be done."""

    seen: str
    caution: CautionView
    call: str
    allows: tuple[Link, ...]


@dataclass(frozen=True)
class Renewal:
    """What is found at another test once this one showed something."""

    seen: str
    test: Link
    found: str


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
    wait_from: WaitView | None
    who: str
    read_by: str
    together: tuple[Link, ...]
    does: str
    perishes: str
    stops: tuple[StopView, ...]
    renews: tuple[Renewal, ...]
    only_on: str
    tools: tuple[str, ...]
    measures: str
    works_out: tuple[WorkedView, ...]
    needs: tuple[Condition, ...]
    never_when: tuple[Condition, ...]
    cautions: tuple[CautionView, ...]
    drawn: DrawnView | None
    steps: tuple[Part, ...]
    tells: tuple[Part, ...]
    outcomes: tuple[OutcomeRow, ...]
    more: tuple[Part, ...]
    provenance: Provenance


def page_of_test(library: Library, test: Test, drawings: Drawings | None = None) -> SitePage:
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
        wait_from=wait_view(library, test),
        who=rank_text(test.who),
        read_by=rank_text(test.read_by) if test.read_by and test.read_by != test.who else "",
        together=tuple(link_to(library.tests[name]) for name in test.together_with),
        does=acts_text(test.does, "it "),
        perishes=acts_text(test.perishes, "anybody "),
        stops=tuple(_stop(library, test, outcome) for outcome in test.stops),
        renews=_renewals(library, test),
        only_on=equipment_text(library, test.found_on),
        tools=test.tools,
        measures=f"{test.measures.quantity}, in {test.measures.unit}" if test.measures else "",
        works_out=worked_views(library, test),
        needs=_conditions(library, test.needs),
        never_when=_conditions(library, test.never_when),
        cautions=caution_views(library, test.cautions),
        drawn=drawings.of(test.at) if drawings else None,
        steps=parts_of(test, base, ["Steps"]),
        tells=parts_of(test, base, ["What it tells you"]),
        outcomes=_outcomes(library, test),
        more=parts_of(test, base),
        provenance=provenance(library, test),
    )
    headings = [Heading("steps", "Steps")]
    headings += [Heading("work-it-out", "Work it out")] if view.works_out else []
    headings += [Heading("readings", "What each reading means")]
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


def acts_text(acts: Iterable[str], who: str) -> str:
    """What is done to the system, in words; "" for nothing.

    >>> acts_text(("drain", "fill", "fire"), "anybody ")
    'anybody drains, fills or fires'
    """
    *most, last = [f"{act}s" for act in acts] or [""]
    return f"{who}{', '.join(most)}{' or ' if most else ''}{last}" if last else ""


def _stop(library: Library, test: Test, outcome: str) -> StopView:
    stop = test.stops[outcome]
    steps = [library.tests.get(name) or library.faults[name] for name in stop.allows]
    allows = tuple(link_to(step, "" if isinstance(step, Test) else "its repair") for step in steps)
    (caution,) = caution_views(library, [stop.caution])
    return StopView(test.outcomes[outcome], caution, stop.call or library.site.call, allows)


def _renewals(library: Library, test: Test) -> tuple[Renewal, ...]:
    return tuple(
        Renewal(test.outcomes[own], link_to(library.tests[name]), library.tests[name].outcomes[found])
        for name, new in test.renews.items()
        for own, found in new.items()
    )


def _otherwise_where(library: Library, test: Test) -> tuple[tuple[str, Mapping[str, float]], ...]:
    """Where the outcomes without the fault differ, in words, and how often each is seen there."""
    on = []
    for where in test.otherwise_on:
        feature, _, value = where.partition("=")
        title = library.equipment[feature].values[value].title
        on.append((f"with: {title}", otherwise_rates(test, {feature: {value: 1.0}})))
    at = [(f"at: {library.symptoms[name].title}", otherwise_rates(test, symptom=name)) for name in test.otherwise_at]
    return (*on, *at)


def _outcomes(library: Library, test: Test) -> tuple[OutcomeRow, ...]:
    rates, where = otherwise_rates(test), _otherwise_where(library, test)
    rows = []
    for outcome, words in test.outcomes.items():
        showing = [
            (fault.shown_at(test.id)[outcome], fault)
            for fault in library.faults.values()
            if outcome in fault.shown_at(test.id)
        ]
        showing.sort(key=lambda pair: (-pair[0], pair[1].id))
        faults = tuple(link_to(fault, strength_text(strength)) for strength, fault in showing)
        limits = limits_text(test.measures.limits, outcome, test.measures.unit) if test.measures else ""
        differing = tuple((place, strength_text(round(given[outcome], 3))) for place, given in where)
        rows.append(OutcomeRow(words, limits, strength_text(round(rates[outcome], 3)), differing, faults))
    return tuple(rows)
