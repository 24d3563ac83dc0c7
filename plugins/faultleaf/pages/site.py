"""All pages of a site."""

from collections.abc import Mapping

import networkx as nx

from faultleaf.cards import Library
from faultleaf.layout import FontMetrics
from faultleaf.pages.call_page import call_page
from faultleaf.pages.chart import chart_page
from faultleaf.pages.component import page_of_component
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
from faultleaf.pages.survey import page_of_survey
from faultleaf.pages.symptom import page_of_symptom
from faultleaf.pages.test import page_of_test
from faultleaf.pages.worked import WorkedSymptom
from faultleaf.pages.worksheet import page_of_worksheet


def make_pages(
    library: Library, graph: "nx.DiGraph[str]", worked: Mapping[str, WorkedSymptom], metrics: FontMetrics
) -> tuple[SitePage, ...]:
    """Every page of the site, sorted by path. `graph` is the library's; `worked` has an entry for each symptom."""
    pages = [
        home_page(library),
        call_page(library),
        *([ledger_page(library)] if library.worksheets else []),
        index_page(library),
        numbers_page(library, worked),
        cautions_page(library),
        *section_pages(library),
        *(page_of_symptom(library, each) for each in worked.values()),
        *(chart_page(library, each.symptom, variant) for each in worked.values() for variant in each.variants),
        *(graph_page(library, graph, each, metrics) for each in worked.values()),
        *(page_of_fault(library, worked, fault) for fault in library.faults.values()),
        *(page_of_component(library, component) for component in library.components.values()),
        *(page_of_test(library, test) for test in library.tests.values()),
        *(page_of_proof(library, proof) for proof in library.proofs.values()),
        *(page_of_worksheet(library, worksheet) for worksheet in library.worksheets.values()),
        *(page_of_survey(library, survey) for survey in library.surveys.values()),
        *(page_of_reading(library, reading) for reading in library.readings.values()),
    ]
    if terms := terms_page(library):
        pages.append(terms)
    return tuple(sorted(pages, key=lambda page: page.path))
