"""The troubleshooting index: symptom × cause, filtered by equipment, and an A–Z with what callers say."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from faultleaf.cards import Fault, Library, card_url
from faultleaf.pages.common import Link, link_to
from faultleaf.pages.page import Heading, SitePage
from faultleaf.pages.render import render_page
from faultleaf.words import often_text

INDEX_PAGE = "index-of-troubles.html"
LARGEST_DOT = 9.0
SMALLEST_DOT = 2.0


@dataclass(frozen=True)
class Cell:
    """How strongly a fault shows as a symptom: the weight of the dot tells it, and words for the ear.

    `fits` lists the equipment it needs for that, as "feature:value" words.
    """

    radius: float
    words: str
    fits: str


@dataclass(frozen=True)
class FaultRow:
    """A fault's row: one cell for each symptom, None where it does not show so."""

    link: Link
    component: str
    cells: tuple[Cell | None, ...]


@dataclass(frozen=True)
class FilterChoice:
    """A feature of the equipment that the table can be filtered by."""

    id: str
    title: str
    values: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class AtoZ:
    """One letter of the A–Z."""

    letter: str
    entries: tuple[Link, ...]


@dataclass(frozen=True)
class IndexView:
    """The whole page."""

    symptoms: tuple[Link, ...]
    rows: tuple[FaultRow, ...]
    filters: tuple[FilterChoice, ...]
    letters: tuple[AtoZ, ...]
    legend: tuple[tuple[float, str], ...]


def index_page(library: Library) -> SitePage:
    """The troubleshooting index."""
    symptoms = sorted(library.symptoms.values(), key=lambda symptom: symptom.title)
    columns = [symptom.id for symptom in symptoms]
    faults = sorted((f for f in library.faults.values() if f.symptoms), key=lambda fault: fault.title)
    used = {feature for fault in faults for symptom in fault.symptoms for feature in fault.place(symptom)}
    view = IndexView(
        symptoms=tuple(link_to(symptom) for symptom in symptoms),
        rows=tuple(_row(library, fault, columns) for fault in faults),
        filters=tuple(
            FilterChoice(name, feature.title, tuple((v, value.title) for v, value in feature.values.items()))
            for name, feature in library.equipment.items()
            if name in used
        ),
        letters=_letters(library),
        legend=tuple((dot_radius(s), often_text(s)) for s in (0.95, 0.85, 0.7, 0.5, 0.3, 0.1)),
    )
    headings = [Heading("table", "Symptom and cause"), Heading("a-to-z", "A to Z")]
    return render_page(
        "index_of_troubles.html", INDEX_PAGE, view, library.site,
        title="Troubleshooting index", description="Every symptom against every cause, and an A to Z.",
        headings=headings, acts=True,
    )  # fmt: skip


def dot_radius(strength: float) -> float:
    """The radius of the dot: its area grows with the strength, so that twice as often looks twice as heavy.

    >>> dot_radius(1.0) > dot_radius(0.5) > dot_radius(0.02) >= SMALLEST_DOT
    True
    """
    return round(max(SMALLEST_DOT, LARGEST_DOT * math.sqrt(strength)), 1)


def _row(library: Library, fault: Fault, columns: list[str]) -> FaultRow:
    cells = tuple(_cell(fault, name) if name in fault.symptoms else None for name in columns)
    return FaultRow(link_to(fault), library.components[fault.component].title, cells)


def _cell(fault: Fault, symptom: str) -> Cell:
    strength = fault.symptoms[symptom]
    place = fault.place(symptom).items()
    fits = " ".join(f"{feature}:{value}" for feature, values in place for value in values)
    return Cell(dot_radius(strength), often_text(strength), fits)


def _letters(library: Library) -> tuple[AtoZ, ...]:
    entries: dict[str, list[Link]] = {}
    for entry in sorted(_entries(library), key=lambda link: (link.title.lower().lstrip("“"), link.url)):
        letter = entry.title.lstrip("“")[:1].upper()
        entries.setdefault(letter if letter.isalpha() else "0–9", []).append(entry)
    return tuple(AtoZ(letter, tuple(links)) for letter, links in sorted(entries.items()))


def _entries(library: Library) -> Iterator[Link]:
    for symptom in library.symptoms.values():
        yield Link(symptom.title, card_url(symptom), "symptom")
        for said in symptom.said_in_print:
            yield Link(f"“{said[:1].upper()}{said[1:]}”", card_url(symptom), f"callers say, of: {symptom.title}")
    for fault in library.faults.values():
        yield link_to(fault, "fault")
    for component in library.components.values():
        yield link_to(component, "component")
        for name in component.also_called:
            yield Link(name[:1].upper() + name[1:], card_url(component), f"see: {component.title}")
    for test in library.tests.values():
        yield link_to(test, "test")
    for term in library.terms.values():
        yield link_to(term, "word of the trade")
