"""A fault's page: signs, how to confirm, repair, proof, causes of the cause, look-alikes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from faultleaf.cards import Fault, Library, Proof, Repair, Test, card_url, fault_rates, outcome_rates
from faultleaf.graph import total_variation, usable_tests
from faultleaf.pages.ask import AskView, ask_view
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
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.pages.worked import Asked, WorkedSymptom
from faultleaf.words import effort_of, equipment_text, minutes_text, rank_text, rate_text, share_text, strength_text

CLEAR = 0.5
"""Total variation from which a test is worth naming for telling two faults apart."""


@dataclass(frozen=True)
class Sign:
    """What the fault shows at one test."""

    test: Link
    effort: str
    shows: tuple[tuple[str, str], ...]


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
    strength: str


@dataclass(frozen=True)
class RepairView:
    """One repair with its cautions and its proof."""

    title: str
    effort: str
    fixes: str
    quote: bool
    mends: tuple[Link, ...]
    only_on: str
    parts: tuple[str, ...]
    prove_first: tuple[str, ...]
    also_fixes: tuple[Link, ...]
    proof: Link
    proof_effort: str
    looks: tuple[tuple[str, str], ...]
    holds_when: str


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
    rate: str
    cautions: tuple[CautionView, ...]
    shares: tuple[ShareIn, ...]
    happens: tuple[Part, ...]
    drawn: DrawnView | None
    signs: tuple[Sign, ...]
    ways: tuple[WayOfShowing, ...]
    to_owner: str
    confirm: tuple[Part, ...]
    repairs: tuple[RepairView, ...]
    steps: tuple[Part, ...]
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
    view = FaultView(
        title=fault.title,
        cue=fault.cue or "",
        lead=lead_of(fault, base),
        component=link_to(library.components[fault.component]),
        found_on=equipment_text(library, fault.found_on),
        rate=rate_text(fault.how_common),
        cautions=caution_views(library, named),
        shares=_shares(library, worked, fault),
        happens=parts_of(fault, base, ["What happens"]),
        drawn=drawings.of(fault.component),
        signs=_signs(library, fault),
        ways=_ways(library, fault),
        to_owner=fault.to_owner or "",
        confirm=parts_of(fault, base, ["How to confirm"]),
        repairs=tuple(_repair_view(library, repair) for repair in fault.all_repairs),
        steps=parts_of(fault, base, ["Repair"]),
        stays_away=parts_of(fault, base, ["So that it stays away"]),
        comes_from=tuple(link_to(library.faults[n], strength_text(s)) for n, s in fault.comes_from.items()),
        leads_to=tuple(link_to(other) for other in library.faults.values() if fault.id in other.comes_from),
        look_alikes=tuple(_look_alike(library, fault, name, tell) for name, tell in fault.look_alikes.items()),
        asks=tuple(ask_view(library, one) for one in asked),
        more=parts_of(fault, base),
        provenance=provenance(library, fault),
    )
    return render_page(
        "fault.html", path, view, library.site,
        title=fault.title, description=f"{fault.title}: signs, how to confirm, repair and proof.",
        headings=_headings(view), acts=True, group="faults",
    )  # fmt: skip


def _headings(view: FaultView) -> list[Heading]:
    offered = [
        (view.happens, "what-happens", "What happens"), (view.signs, "signs", "Signs"),
        (view.confirm, "how-to-confirm", "How to confirm"), (view.look_alikes, "look-alikes", "Look-alikes"),
        (view.repairs, "repair", "Repair"), (view.repairs, "proof", "Proof over days"),
        (view.comes_from or view.leads_to or view.stays_away, "stays-away", "So that it stays away"),
        (view.to_owner, "for-the-owner", "For the owner"), (view.asks, "what-next", "What would you do next?"),
    ]  # fmt: skip
    headings = [Heading(anchor, title) for shown, anchor, title in offered if shown]
    return [*headings, *(part.heading for part in view.more), Heading("numbers", "Where the numbers come from")]


def _shares(library: Library, worked: Mapping[str, WorkedSymptom], fault: Fault) -> tuple[ShareIn, ...]:
    shares = []
    for name, strength in fault.symptoms.items():
        share = dict(worked[name].belief.ranked()).get(fault.id, 0.0)
        shares.append(ShareIn(link_to(library.symptoms[name]), share_text(share), strength_text(strength)))
    return tuple(shares)


def _signs(library: Library, fault: Fault) -> tuple[Sign, ...]:
    signs = []
    for name in fault.named_tests:
        test = library.tests[name]
        words = tuple(
            (test.outcomes[outcome], strength_text(round(strength, 2)))
            for outcome, strength in fault.shown_at(name).items()
        )
        signs.append(Sign(link_to(test), effort_of(test), words))
    return tuple(signs)


def _ways(library: Library, fault: Fault) -> tuple[WayOfShowing, ...]:
    """The ways of showing, each with what is mostly seen at the tests that it names."""
    ways = []
    for mode in fault.modes.values():
        tests = [(library.tests[name], outcome_rates(library.tests[name], seen)) for name, seen in mode.shows.items()]
        shows = tuple((link_to(test), test.outcomes[_likeliest(rates)]) for test, rates in tests)
        ways.append(WayOfShowing(mode.title, share_text(mode.share), shows))
    return tuple(ways)


def _repair_view(library: Library, repair: Repair) -> RepairView:
    proof: Proof = library.proofs[repair.proof]
    over = f", the last look after {minutes_text(proof.over)}" if proof.over else ""
    return RepairView(
        title=repair.title,
        effort=f"{minutes_text(repair.takes)} · {rank_text(repair.who)}",
        fixes=strength_text(repair.fixes),
        quote=repair.quote,
        mends=tuple(link_to(library.tests[name]) for name in repair.mends),
        only_on=equipment_text(library, repair.found_on),
        parts=repair.parts,
        prove_first=repair.prove_first,
        also_fixes=tuple(link_to(library.faults[n], strength_text(s)) for n, s in repair.also_fixes.items()),
        proof=link_to(proof),
        proof_effort=f"{minutes_text(proof.takes)} hands-on in all{over}",
        looks=tuple((look.when, look.see) for look in proof.looks),
        holds_when=proof.holds_when,
    )


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
