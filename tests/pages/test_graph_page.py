"""The page that draws a symptom's causes: its drawing, the same in words, its links."""

import posixpath
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup
from faultleaf.cards import Library
from faultleaf.graph import build_graph, symptom_graph
from faultleaf.pages import SitePage
from faultleaf.pages.graph_page import graph_page
from faultleaf.pipeline.work import work_library

from tests.library import make_library
from tests.pages.samples import METRICS, QUICK, pages_of

CARDS: Mapping[str, Mapping[str, Any]] = {
    "symptoms/overfills": {"title": "Boiler overfills", "unlisted": "0.1"},
    "symptoms/gas": {"title": "Smell of gas", "emergency": True},
    "components/feeder": {},
    "faults/valve": {
        "component": "feeder", "symptoms": {"overfills": "often"}, "shows": {"hold": "seen", "look": "seen"},
        "comes_from": {"dirt": "usually"},
    },
    "faults/bypass": {"how_common": "occasional", "symptoms": {"overfills": "often"}, "shows": {"look": "unseen"}},
    "faults/dirt": {},
    "tests/hold": {"title": "Hold"},
    "tests/look": {"title": "Look"},
}  # fmt: skip


@pytest.fixture
def library(tmp_path: Path) -> Library:
    return make_library(tmp_path, CARDS)


def page_of(library: Library, symptom: str = "overfills") -> SitePage:
    worked = work_library(library, METRICS, effort=QUICK)[symptom]
    return graph_page(library, build_graph(library), worked, METRICS)


def words_of(page: SitePage) -> list[str]:
    """The lines of the text version, each without those nested in it."""
    items = BeautifulSoup(page.html, "html.parser").select(".fl-graph-words li")
    for item in items:
        for nested in item.select("ul, ol"):
            nested.extract()
    return [" ".join(item.get_text().split()) for item in items]


def test_the_words_tell_components_faults_shares_tests_and_what_lies_behind(library: Library) -> None:
    # Weights by hand: 4 × .7 and 2 × .7, and a tenth of all kept for what no card names.
    assert words_of(page_of(library)) == [
        "The feeder",
        "The valve 60 % of such calls",
        "shows at: Hold; Look",
        "comes from: 3 The dirt usually",
        "The part",
        "The bypass 30 % of such calls",
        "shows at: Look",
        "The dirt brings on others",
        "shows at no test",
        "A cause that no card names 10 % of such calls",
    ]


def test_the_words_hold_every_edge_of_the_symptoms_graph(library: Library) -> None:
    page = page_of(library)
    soup = BeautifulSoup(page.html, "html.parser")
    part = symptom_graph(build_graph(library), "overfills")
    linked = {posixpath.normpath(f"graphs/{a['href']}") for a in soup.select(".fl-graph-words a")}
    assert linked == {data["url"] for name, data in part.nodes(data=True) if name != "symptom:overfills"}


def test_the_drawing_stands_in_a_box_of_its_own_that_the_keyboard_reaches(library: Library) -> None:
    soup = BeautifulSoup(page_of(library).html, "html.parser")
    box = soup.select_one("div.fl-graph-box")
    assert box is not None
    assert (box["tabindex"], box["role"]) == ("0", "region")
    assert len(box.select("svg.fl-graph > a")) == 8  # symptom, 2 components, 3 faults, 1 origin, the unlisted cause
    assert not soup.select("[style], script")


def test_it_shows_the_notice_and_stands_outside_the_sections(library: Library) -> None:
    page = page_of(library)
    assert (page.acts, page.group, page.path) == (True, "", "graphs/overfills.html")
    assert library.site.notice in BeautifulSoup(page.html, "html.parser").get_text()
    assert all(f'id="{heading.id}"' in page.html for heading in page.headings)


def test_an_emergency_without_causes_has_its_page_too(library: Library) -> None:
    page = page_of(library, "gas")
    assert len(BeautifulSoup(page.html, "html.parser").select("svg.fl-graph > a[href$='symptoms/gas.html']")) == 1


def test_every_link_leads_to_a_page_of_the_site_or_to_its_data(library: Library) -> None:
    pages = pages_of(library)
    for symptom in library.symptoms:
        page = pages[f"graphs/{symptom}.html"]
        links = {a["href"] for a in BeautifulSoup(page.html, "html.parser").select("a[href]")}
        assert "../graph.json" in links
        targets = {posixpath.normpath(f"graphs/{link}").partition("#")[0] for link in links}
        assert targets - {"graph.json"} <= set(pages)
        assert f"../{page.path}" in pages[f"symptoms/{symptom}.html"].html


def test_the_same_cards_give_the_same_page(library: Library) -> None:
    assert page_of(library) == page_of(library)
