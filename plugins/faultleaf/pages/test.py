"""A test's page: cautions, steps, what each reading means, which faults it splits."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from markupsafe import Markup

from faultleaf.cards import Library, Test, card_url, otherwise_rates
from faultleaf.cards.text import Node, Text, words_of
from faultleaf.pages.common import (
    CautionView,
    Dots,
    Link,
    Part,
    Provenance,
    caution_views,
    lead_of,
    link_to,
    often,
    parts_of,
    provenance,
)
from faultleaf.pages.drawn import Drawings, DrawnView
from faultleaf.pages.linked import WaitView, WorkedView, wait_view, worked_views
from faultleaf.pages.markup import in_boxes
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.words import equipment_text, limits_text, minutes_text, often_text, rank_text


@dataclass(frozen=True)
class OutcomeRow:
    """One outcome: in words, its limits, what the card says of it, how often it is seen elsewhere, the faults."""

    words: str
    limits: str
    tells: Markup
    stops: bool
    otherwise: Dots
    otherwise_where: tuple[tuple[str, Dots], ...]
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
    before_outcomes: Markup
    outcomes: tuple[OutcomeRow, ...]
    after_outcomes: Markup
    more: tuple[Part, ...]
    provenance: Provenance


def page_of_test(library: Library, test: Test, drawings: Drawings | None = None) -> SitePage:
    """The page of one test."""
    path = card_url(test)
    base = base_of(path)
    stopping = {stop.caution for stop in test.stops.values()}  # shown whole with the stop
    told = told_of(test)
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
        cautions=caution_views(library, (name for name in test.cautions if name not in stopping)),
        drawn=drawings.of(test.at) if drawings else None,
        steps=parts_of(test, base, ["Steps"]),
        before_outcomes=in_boxes(told.before, test.folder, base),
        outcomes=_outcomes(library, test, told, base),
        after_outcomes=in_boxes(told.after, test.folder, base),
        more=parts_of(test, base),
        provenance=provenance(library, test),
    )
    headings = [Heading("steps", "Steps")]
    headings += [Heading("work-it-out", "Work it out")] if view.works_out else []
    headings += [Heading("outcomes", "What each outcome means")]
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


@dataclass(frozen=True)
class Told:
    """What a card says of each outcome, and what it says before and after of all of them."""

    before: Text
    of: Mapping[str, Text]
    after: Text


def told_of(test: Test) -> Told:
    """The card's words about its outcomes: a paragraph that begins with an outcome in bold is about that outcome, and
    so is what follows it up to the next; what follows the last may be about all."""
    section = test.body.section("What it tells you")
    text = section.text if section else ()
    leads = [(place, name) for place, node in enumerate(text) if (name := _outcome_told(test, node))]
    if not leads:
        return Told(text, {}, ())
    ends = [*(place for place, _ in leads[1:]), leads[-1][0] + 1]
    of = {name: _without_lead(text[start:end]) for (start, name), end in zip(leads, ends, strict=True)}
    return Told(text[: leads[0][0]], of, text[ends[-1] :])


def _outcome_told(test: Test, node: Node | str) -> str:
    """The outcome that a paragraph begins with in bold, "" for none."""
    first = node.children[0] if isinstance(node, Node) and node.tag == "p" and node.children else ""
    said = words_of(first.children).rstrip(".: ") if isinstance(first, Node) and first.tag == "strong" else ""
    return next((name for name, words in test.outcomes.items() if words == said), "")


def _without_lead(text: Text) -> Text:
    first = text[0]
    if not isinstance(first, Node):
        return text
    rest = first.children[1:]
    if rest and isinstance(rest[0], str):
        rest = (rest[0].lstrip(), *rest[1:])
    return (replace(first, children=rest), *text[1:]) if rest else text[1:]


def _outcomes(library: Library, test: Test, told: Told, base: str) -> tuple[OutcomeRow, ...]:
    rates, where = otherwise_rates(test), _otherwise_where(library, test)
    rows = []
    for outcome, words in test.outcomes.items():
        showing = [
            (fault.shown_at(test.id)[outcome], fault)
            for fault in library.faults.values()
            if outcome in fault.shown_at(test.id)
        ]
        showing.sort(key=lambda pair: (-pair[0], pair[1].id))
        faults = tuple(link_to(fault, often_text(strength), often(strength)) for strength, fault in showing)
        limits = limits_text(test.measures.limits, outcome, test.measures.unit) if test.measures else ""
        differing = tuple((place, often(given[outcome])) for place, given in where)
        tells = in_boxes(told.of.get(outcome, ()), test.folder, base)
        rows.append(OutcomeRow(words, limits, tells, outcome in test.stops, often(rates[outcome]), differing, faults))
    return tuple(rows)
