"""All pages of a site."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, TypeVar

from faultleaf.cards import (
    Card,
    Caution,
    Component,
    Fault,
    Library,
    Picture,
    Proof,
    Reading,
    Survey,
    Symptom,
    Term,
    Test,
    Worksheet,
)  # fmt: skip
from faultleaf.layout import FontMetrics
from faultleaf.pages.call_page import call_page
from faultleaf.pages.causes_page import causes_page
from faultleaf.pages.chart import chart_page
from faultleaf.pages.component import page_of_component
from faultleaf.pages.drawn import Drawings, plant_page
from faultleaf.pages.fault import page_of_fault
from faultleaf.pages.graph_page import graph_page
from faultleaf.pages.ledger import ledger_page
from faultleaf.pages.lists import (
    cautions_page,
    home_page,
    page_of_proof,
    page_of_reading,
    section_pages,
    terms_page,
)
from faultleaf.pages.matrix import index_page
from faultleaf.pages.numbers import numbers_page
from faultleaf.pages.page import SitePage
from faultleaf.pages.picture import page_of_picture
from faultleaf.pages.repair import page_of_repair
from faultleaf.pages.study import with_threads
from faultleaf.pages.survey import page_of_survey
from faultleaf.pages.symptom import page_of_symptom
from faultleaf.pages.test import page_of_test
from faultleaf.pages.worked import Asked, WorkedSymptom
from faultleaf.pages.worksheet import page_of_worksheet

C = TypeVar("C", bound=Card)


@dataclass(frozen=True, eq=False)
class Given:
    """What pages are made of: the library, and every symptom worked."""

    library: Library
    worked: Mapping[str, WorkedSymptom]
    metrics: FontMetrics
    asked: Mapping[str, Sequence[Asked]]

    @property
    def drawings(self) -> Drawings:
        """What draws its components."""
        return Drawings(self.library, self.metrics)


def _symptoms(given: Given) -> Iterator[SitePage]:
    """A symptom's page, the page of all its causes, its charts and the picture of its causes."""
    for each in given.worked.values():
        yield page_of_symptom(given.library, each)
        yield causes_page(given.library, each)
        yield from (chart_page(given.library, each.symptom, variant) for variant in each.variants)
        yield graph_page(given.library, each)


def _faults(given: Given) -> Iterator[SitePage]:
    """A fault's page, and that of its repair."""
    for fault in given.library.faults.values():
        yield page_of_fault(given.library, given.worked, given.drawings, given.asked.get(fault.id, ()), fault)
        if fault.all_repairs:
            yield page_of_repair(given.library, given.drawings, fault)


def _each(card_type: type[C], page_of: Callable[[Library, C], SitePage]) -> "Maker":
    """A page for each card of this type."""
    return lambda given: (page_of(given.library, card) for card in given.library.of_type(card_type).values())


Maker = Callable[[Given], Iterable[SitePage]]
MAKERS: Final[Mapping[type[Card], Maker]] = {
    Symptom: _symptoms,
    Fault: _faults,
    Component: lambda given: (
        page_of_component(given.library, given.drawings, one) for one in given.library.components.values()
    ),
    Test: lambda given: (page_of_test(given.library, one, given.drawings) for one in given.library.tests.values()),
    Proof: _each(Proof, page_of_proof),
    Caution: lambda given: [cautions_page(given.library)],
    Worksheet: _each(Worksheet, page_of_worksheet),
    Survey: _each(Survey, page_of_survey),
    Term: lambda given: filter(None, [terms_page(given.library)]),
    Reading: _each(Reading, page_of_reading),
    Picture: _each(Picture, page_of_picture),
}
"""The pages of each kind of card: its own, or one for all of them."""


def make_pages(
    library: Library,
    worked: Mapping[str, WorkedSymptom],
    metrics: FontMetrics,
    asked: Mapping[str, Sequence[Asked]] | None = None,
) -> tuple[SitePage, ...]:
    """Every page of the site, sorted by path. `worked` has an entry for each symptom.

    `metrics` are the font's; `asked` are the questions that faults' pages put to a reader.
    """
    given = Given(library, worked, metrics, asked or {})
    pages = [
        home_page(library),
        *filter(None, [plant_page(library, metrics)]),
        call_page(library, given.drawings),
        *([ledger_page(library)] if library.worksheets else []),
        index_page(library),
        numbers_page(library, worked),
        *section_pages(library),
        *(page for maker in MAKERS.values() for page in maker(given)),
    ]
    return tuple(sorted(with_threads(library, pages), key=lambda page: page.path))
