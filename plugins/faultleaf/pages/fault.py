"""A fault's page, to learn from: what happens, signs, look-alikes, how to confirm, causes of the cause."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from faultleaf.cards import Fault, Library, Repair, Test, card_url, fault_rates, otherwise_rates, outcome_rates
from faultleaf.cards.urls import repair_url
from faultleaf.graph import total_variation, usable_tests
from faultleaf.pages.ask import AskView, ask_view
from faultleaf.pages.common import (
    CautionView,
    Dots,
    Link,
    Part,
    Provenance,
    caution_views,
    common,
    lead_of,
    link_to,
    often,
    parts_of,
    provenance,
)
from faultleaf.pages.drawn import Drawings, DrawnView
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.pages.worked import Asked, WorkedSymptom
from faultleaf.words import effort_of, equipment_text, minutes_text, often_text, rank_text, share_text

SHOWN_SIGNS = 5
"""So many signs stand open, the most telling; the others are a press away."""
CLEAR = 0.5
"""Total variation from which a test is worth naming for telling two faults apart."""


@dataclass(frozen=True)
class Sign:
    """What the fault shows at one test."""

    test: Link
    effort: str
    shows: tuple[tuple[str, Dots], ...]


@dataclass(frozen=True)
class WayOfShowing:
    """Signs of the fault that come or stay away together: how often, and what is then shown at which test."""

    title: str
    share: str
    shows: tuple[tuple[Link, str], ...]


@dataclass(frozen=True)
class ShareIn:
    """How often this fault is behind one symptom."""

    symptom: Link
    share: str


@dataclass(frozen=True)
class LookAlike:
    """A fault that this one is taken for."""

    link: Link
    tell: str
    test: Link | None
    here: str
    there: str


@dataclass(frozen=True)
class FaultView:
    """Everything on a fault's page."""

    title: str
    cue: str
    lead: Markup
    component: Link
    found_on: str
    rate: Dots
    cautions: tuple[CautionView, ...]
    shares: tuple[ShareIn, ...]
    happens: tuple[Part, ...]
    drawn: DrawnView | None
    signs: tuple[Sign, ...]
    more_signs: tuple[Sign, ...]
    ways: tuple[WayOfShowing, ...]
    to_owner: str
    confirm: tuple[Part, ...]
    repairs: tuple[Link, ...]
    stays_away: tuple[Part, ...]
    comes_from: tuple[Link, ...]
    leads_to: tuple[Link, ...]
    look_alikes: tuple[LookAlike, ...]
    asks: tuple[AskView, ...]
    more: tuple[Part, ...]
    provenance: Provenance


def page_of_fault(
    library: Library, worked: Mapping[str, WorkedSymptom], drawings: Drawings, asked: Sequence[Asked], fault: Fault
) -> SitePage:
    """The page of one fault."""
    path = card_url(fault)
    base = base_of(path)
    proofs = [library.proofs[repair.proof] for repair in fault.all_repairs]
    named = [*fault.all_cautions, *(name for proof in proofs for name in proof.cautions)]
    signs = _signs(library, fault)
    view = FaultView(
        title=fault.title,
        cue=fault.cue or "",
        lead=lead_of(fault, base),
        component=link_to(library.components[fault.component]),
        found_on=equipment_text(library, fault.found_on),
        rate=common(fault.how_common),
        cautions=caution_views(library, named),
        shares=_shares(library, worked, fault),
        happens=parts_of(fault, base, ["What happens"]),
        drawn=drawings.of(fault.component),
        signs=signs[:SHOWN_SIGNS],
        more_signs=signs[SHOWN_SIGNS:],
        ways=_ways(library, fault),
        to_owner=fault.to_owner or "",
        confirm=parts_of(fault, base, ["How to confirm"]),
        repairs=tuple(_repair_link(fault, repair) for repair in fault.all_repairs),
        stays_away=parts_of(fault, base, ["So that it stays away"]),
        comes_from=tuple(link_to(library.faults[n], often_text(s), often(s)) for n, s in fault.comes_from.items()),
        leads_to=tuple(link_to(other) for other in library.faults.values() if fault.id in other.comes_from),
        look_alikes=tuple(_look_alike(library, fault, name, tell) for name, tell in fault.look_alikes.items()),
        asks=tuple(ask_view(library, one) for one in asked),
        more=parts_of(fault, base),
        provenance=provenance(library, fault),
    )
    return render_page(
        "fault.html", path, view, library.site,
        title=fault.title, description=f"{fault.title}: what happens, its signs, its look-alikes, how to confirm it.",
        headings=_headings(view), acts=True, group="faults",
    )  # fmt: skip


def _headings(view: FaultView) -> list[Heading]:
    offered = [
        (view.happens, "what-happens", "What happens"), (view.signs, "signs", "Signs"),
        (view.look_alikes, "look-alikes", "Look-alikes"), (view.confirm, "how-to-confirm", "How to confirm"),
        (view.repairs, "repair", "Repair"),
        (view.comes_from or view.leads_to or view.stays_away, "stays-away", "So that it stays away"),
        (view.to_owner, "for-the-owner", "For the owner"), (view.asks, "what-next", "What would you do next?"),
    ]  # fmt: skip
    headings = [Heading(anchor, title) for shown, anchor, title in offered if shown]
    return [*headings, *(part.heading for part in view.more), Heading("numbers", "Where the numbers come from")]


def _shares(library: Library, worked: Mapping[str, WorkedSymptom], fault: Fault) -> tuple[ShareIn, ...]:
    shares = []
    for name, strength in fault.symptoms.items():
        share = dict(worked[name].belief.ranked()).get(fault.id, 0.0)
        shares.append(ShareIn(link_to(library.symptoms[name], dots=often(strength)), share_text(share)))
    return tuple(shares)


def _signs(library: Library, fault: Fault) -> tuple[Sign, ...]:
    signs = []
    for name in sorted(fault.named_tests, key=lambda name: -round(_telling(library.tests[name], fault), 9)):
        test = library.tests[name]
        words = tuple((test.outcomes[outcome], often(strength)) for outcome, strength in fault.shown_at(name).items())
        signs.append(Sign(link_to(test), effort_of(test), words))
    return tuple(signs)


def _telling(test: Test, fault: Fault) -> float:
    """How much the test tells where this is the fault: the divergence of its outcomes from what is seen otherwise
    (Kullback and Leibler 1951), in nats."""
    rates, elsewhere = fault_rates(test, fault), otherwise_rates(test)
    return math.fsum(rates[name] * math.log(rates[name] / max(elsewhere[name], 1e-3)) for name in rates if rates[name])


def _ways(library: Library, fault: Fault) -> tuple[WayOfShowing, ...]:
    """The ways of showing, each with what is mostly seen at the tests that it names."""
    ways = []
    for mode in fault.modes.values():
        tests = [(library.tests[name], outcome_rates(library.tests[name], seen)) for name, seen in mode.shows.items()]
        shows = tuple((link_to(test), test.outcomes[_likeliest(rates)]) for test, rates in tests)
        ways.append(WayOfShowing(mode.title, share_text(mode.share), shows))
    return tuple(ways)


def _repair_link(fault: Fault, repair: Repair) -> Link:
    quote = "A job to quote · " if repair.quote else ""
    note = f"{quote}{minutes_text(repair.takes)} · {rank_text(repair.who)} · cures it {often_text(repair.fixes)}"
    return Link(repair.title, repair_url(fault), note, often(repair.fixes))


def _look_alike(library: Library, fault: Fault, name: str, tell: str) -> LookAlike:
    other = library.faults[name]
    best = _best_test(library, fault, other)
    if best is None:
        return LookAlike(link_to(other), tell, None, "", "")
    return LookAlike(link_to(other), tell, link_to(best), _mostly(best, fault), _mostly(best, other))


def _best_test(library: Library, one: Fault, other: Fault) -> Test | None:
    """The test that tells the two apart best; the quicker one of equals."""
    tests = usable_tests(library, one, other)
    rated = [(-round(total_variation(test, one, other), 9), test.takes, test.id) for test in tests]
    clear = [entry for entry in rated if -entry[0] >= CLEAR]
    return library.tests[min(clear)[2]] if clear else None


def _mostly(test: Test, fault: Fault) -> str:
    rates = fault_rates(test, fault)
    return test.outcomes[_likeliest(rates)]


def _likeliest(rates: Mapping[str, float]) -> str:
    """The likeliest outcome, the first of equals."""
    return max(rates, key=lambda outcome: rates[outcome])
