"""Home, the start page of every section, and the pages that hold a whole kind: cautions, terms, sources."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from faultleaf.cards import (
    Card,
    Caution,
    Component,
    Fault,
    Library,
    Proof,
    Reading,
    Symptom,
    Term,
    Test,
    Worksheet,
    card_url,
    chart_url,
)
from faultleaf.cards.urls import CALL_PAGE, CAUTIONS_PAGE, LEDGER_PAGE, TERMS_PAGE
from faultleaf.pages.common import (
    CautionView,
    Link,
    Part,
    Provenance,
    by_signal,
    caution_views,
    heading_id,
    link_to,
    parts_of,
    provenance,
)
from faultleaf.pages.drawn import plant_link
from faultleaf.pages.markup import in_boxes
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.pages.study import Thread, read_card, threads_of
from faultleaf.words import capital, effort_of, minutes_text, rank_text

SAID_AT_HOME = 2
WAYS: Final = (
    (Component, "Components", "parts, and what goes wrong with each"),
    (Fault, "Faults", "causes, each with its signs and its repair"),
    (Test, "Tests", "ways to find out, the quick ones first"),
    (Worksheet, "Worksheets", "sums of the trade"),
    (Proof, "Proofs", "ways to show that a repair holds"),
    (Caution, "Cautions", "hazards, and how each is avoided"),
    (Reading, "Study", "reading lists for apprentices"),
    (Term, "Words of the trade", "words, explained"),
)
"""Ways into the library from home: the kind of card, what its page is called there, and what it holds."""


@dataclass(frozen=True)
class HomeSymptom:
    """A symptom as the home page offers it."""

    link: Link
    said: tuple[str, ...]
    charts: tuple[Link, ...]
    emergency: bool


@dataclass(frozen=True)
class HomeView:
    """The home page."""

    title: str
    call: Link
    symptoms: tuple[HomeSymptom, ...]
    make_safe: tuple[CautionView, ...]
    safe_keys: tuple[tuple[CautionView, ...], ...]
    plant: Link | None
    ways: tuple[Link, ...]


def home_page(library: Library) -> SitePage:
    """Home: it starts from what the technician sees."""
    symptoms = sorted(library.symptoms.values(), key=lambda symptom: (not symptom.emergency, symptom.title))
    offered = tuple(
        HomeSymptom(
            link_to(symptom),
            symptom.also_said[:SAID_AT_HOME],
            _charts(symptom),
            symptom.emergency,
        )
        for symptom in symptoms
    )
    named = (name for symptom in symptoms for name in symptom.make_safe)
    panels = caution_views(library, named)
    ways = tuple(
        Link(title, f"{card_type.folder}/index.html", f"{len(library.of_type(card_type))} {words}")
        for card_type, title, words in WAYS
        if library.of_type(card_type)
    )
    work, plant = Link("Work the call", CALL_PAGE), plant_link(library)
    view = HomeView(library.site.title, work, offered, panels, by_signal(panels), plant, ways)
    headings = [Heading("what-it-does", "What does the boiler do?"), Heading("make-safe", "Before anything else")]
    return render_page(
        "home.html", "index.html", view, library.site,
        title=library.site.title, description="What does the boiler do? Start from what you see.",
        headings=headings, acts=True,
    )  # fmt: skip


def _charts(symptom: Symptom) -> tuple[Link, ...]:
    """The symptom's charts to print; an emergency has none."""
    variants = () if symptom.emergency else symptom.variants
    return tuple(Link(capital(name), chart_url(symptom, name)) for name in variants)


@dataclass(frozen=True)
class ListGroup:
    """Cards under one sub-heading ("" for none)."""

    heading: Heading
    links: tuple[Link, ...]


@dataclass(frozen=True)
class ListView:
    """A section's start page."""

    title: str
    lead: str
    groups: tuple[ListGroup, ...]


def section_pages(library: Library) -> tuple[SitePage, ...]:
    """The start pages of the sections that have cards."""
    makers = (_symptom_list, _fault_list, _component_list, _test_list, _proof_list, _worksheet_list, _reading_list)
    return tuple(page for maker in makers if (page := maker(library)) is not None)


def _list_page(library: Library, folder: str, lead: str, groups: Iterable[ListGroup]) -> SitePage | None:
    shown = tuple(group for group in groups if group.links)
    if not shown:
        return None
    title = "Reading lists" if folder == "readings" else capital(folder)
    headings = [group.heading for group in shown if group.heading.title]
    return render_page(
        "list.html", f"{folder}/index.html", ListView(title, lead, shown), library.site,
        title=title, description=lead, headings=headings, acts=True, group=folder,
    )  # fmt: skip


def _group(title: str, links: Iterable[Link]) -> ListGroup:
    return ListGroup(Heading(heading_id(title) or "all", title), tuple(links))


def _symptom_list(library: Library) -> SitePage | None:
    links = (link_to(card, "; ".join(card.also_said[:SAID_AT_HOME])) for card in library.symptoms.values())
    return _list_page(library, "symptoms", "What the caller or the technician notices.", [_group("", links)])


def _fault_list(library: Library) -> SitePage | None:
    groups = []
    for component in sorted(library.components.values(), key=lambda card: card.title):
        faults = [fault for fault in library.faults.values() if fault.component == component.id]
        groups.append(_group(component.title, (link_to(fault, fault.cue or "") for fault in faults)))
    lead = "Every fault of the library by the component it lives in, with what an old hand notices first."
    return _list_page(library, "faults", lead, groups)


def _component_list(library: Library) -> SitePage | None:
    cards = sorted(library.components.values(), key=lambda card: card.title)
    links = (link_to(card, ", ".join(card.also_called)) for card in cards)
    return _list_page(library, "components", "The parts of a steam system that faults live in.", [_group("", links)])


def _test_list(library: Library) -> SitePage | None:
    tests = sorted(library.tests.values(), key=lambda test: (test.takes, test.title))
    quick = [test for test in tests if not test.wait]
    slow = [test for test in tests if test.wait]
    groups = [
        _group("At once", (link_to(test, f"{test.asks} {effort_of(test)}") for test in quick)),
        _group("With a wait", (link_to(test, f"{test.asks} {effort_of(test)}") for test in slow)),
    ]
    return _list_page(library, "tests", "Every test, the quick ones first.", groups)


def _proof_list(library: Library) -> SitePage | None:
    links = (link_to(proof, proof.holds_when) for proof in library.proofs.values())
    lead = "How a repair is shown to hold, over hours, days or weeks."
    return _list_page(library, "proofs", lead, [_group("", links)])


def _worksheet_list(library: Library) -> SitePage | None:
    cards = sorted(library.worksheets.values(), key=lambda card: card.title)
    names = sorted({card.group for card in cards})
    groups = [_group(name, (link_to(card, card.answers) for card in cards if card.group == name)) for name in names]
    whole = (
        [Link("Water ledger", LEDGER_PAGE, "Was the water let in, called in, or did it come home?")] if cards else []
    )
    surveys = [
        link_to(card, "Taken once, it fills the sums and says what does not match.")
        for card in library.surveys.values()
    ]
    groups.insert(0, _group("Whole jobs", [*whole, *surveys]))
    return _list_page(library, "worksheets", "The trade's arithmetic, with units and with its error.", groups)


def _reading_list(library: Library) -> SitePage | None:
    links = (link_to(card, f"{len(card.steps)} cards · {rank_text(card.who)}") for card in library.readings.values())
    return _list_page(library, "readings", "In what order to study the cards.", [_group("", links)])


@dataclass(frozen=True)
class ProofView:
    """A proof's page."""

    title: str
    effort: str
    holds_when: str
    looks: tuple[tuple[str, str], ...]
    cautions: tuple[CautionView, ...]
    parts: tuple[Part, ...]
    proves: tuple[Link, ...]
    provenance: Provenance


def page_of_proof(library: Library, proof: Proof) -> SitePage:
    """The page of one proof."""
    path = card_url(proof)
    base = base_of(path)
    over = f"; the last look after {minutes_text(proof.over)}" if proof.over else ""
    proves = [
        link_to(fault, repair.title)
        for fault in library.faults.values()
        for repair in fault.all_repairs
        if repair.proof == proof.id
    ]
    view = ProofView(
        proof.title,
        f"{minutes_text(proof.takes)} hands-on in all{over}",
        proof.holds_when,
        tuple((look.when, look.see) for look in proof.looks),
        caution_views(library, proof.cautions),
        (*parts_of(proof, base, proof.sections), *parts_of(proof, base)),
        tuple(proves),
        provenance(library, proof),
    )
    headings = [Heading("looks", "The looks"), *(part.heading for part in view.parts)]
    headings += [Heading("proves", "Repairs it proves")] if proves else []
    return render_page(
        "proof.html", path, view, library.site,
        title=proof.title, description=f"{proof.title}: {proof.holds_when}", headings=headings, acts=True,
        group="proofs",
    )  # fmt: skip


@dataclass(frozen=True)
class CautionEntry:
    """A caution with the cards that carry it."""

    panel: CautionView
    text: Markup
    used_by: tuple[Link, ...]
    threads: tuple[Thread, ...]


def cautions_page(library: Library) -> SitePage:
    """All cautions on one page."""
    entries, threads = [], threads_of(library)
    for panel in caution_views(library, library.cautions):
        card = library.cautions[panel.id]
        users: list[Card] = [test for test in library.tests.values() if panel.id in test.cautions]
        users += [fault for fault in library.faults.values() if panel.id in fault.all_cautions]
        text = Markup().join(in_boxes(part.text, "cautions", "../") for part in card.body.sections)
        used_by = tuple(link_to(user) for user in users)
        entries.append(CautionEntry(panel, text, used_by, threads.get(f"cautions/{panel.id}", ())))
    return render_page(
        "cautions.html", CAUTIONS_PAGE, tuple(entries), library.site,
        title="Cautions", description="Every caution of the library: hazard, consequence, how to avoid it.",
        headings=[Heading(entry.panel.id, entry.panel.title) for entry in entries], acts=True, group="cautions",
    )  # fmt: skip


@dataclass(frozen=True)
class TermEntry:
    """A word of the trade."""

    id: str
    title: str
    means: str
    also_called: tuple[str, ...]
    text: Markup
    see: tuple[Link, ...]
    threads: tuple[Thread, ...]


def terms_page(library: Library) -> SitePage | None:
    """The glossary, or None where there is no term."""
    threads = threads_of(library)
    entries = [
        TermEntry(
            term.id, term.title, term.means, term.also_called,
            Markup().join(in_boxes(part.text, "terms", "../") for part in term.body.sections),
            tuple(link_to(library.components[name]) for name in term.see),
            threads.get(f"terms/{term.id}", ()),
        )
        for term in sorted(library.terms.values(), key=lambda term: term.title.lower())
    ]  # fmt: skip
    if not entries:
        return None
    return render_page(
        "terms.html", TERMS_PAGE, tuple(entries), library.site,
        title="Words of the trade", description="The words that the cards use, explained.", group="terms",
    )  # fmt: skip


@dataclass(frozen=True)
class ReadingView:
    """An order of reading."""

    title: str
    who: str
    parts: tuple[Part, ...]
    lead: Markup
    steps: tuple[tuple[str, Link], ...]


def page_of_reading(library: Library, reading: Reading) -> SitePage:
    """The page of one order of reading."""
    path = card_url(reading)
    base = base_of(path)
    steps = [(step.read, link_to(read_card(library, step.read), step.because)) for step in reading.steps]
    lead = reading.body.section("")
    view = ReadingView(
        reading.title, rank_text(reading.who), parts_of(reading, base),
        in_boxes(lead.text, "readings", base) if lead else Markup(), tuple(steps),
    )  # fmt: skip
    return render_page(
        "reading.html", path, view, library.site,
        title=reading.title, description=f"A reading list: {reading.title}",
        headings=[part.heading for part in view.parts], acts=True, group="readings",
    )  # fmt: skip
