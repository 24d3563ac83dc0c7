"""The page that draws a symptom's causes as a tree: its branches, its shares, its links."""

import posixpath
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup, Tag
from faultleaf.cards import Library
from faultleaf.graph import build_graph
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
        "component": "feeder", "symptoms": {"overfills": "often"}, "comes_from": {"dirt": "usually", "age": "always"},
    },
    "faults/bypass": {"how_common": "occasional", "symptoms": {"overfills": "often"}},
    "faults/dirt": {}, "faults/age": {}, "faults/stranger": {},
}  # fmt: skip


@pytest.fixture
def library(tmp_path: Path) -> Library:
    return make_library(tmp_path, CARDS)


def tree_of(library: Library, symptom: str = "overfills") -> Tag:
    worked = work_library(library, METRICS, effort=QUICK)[symptom]
    (tree,) = BeautifulSoup(graph_page(library, worked).html, "html.parser").select(".fl-tree")
    return tree


def words(tag: Tag) -> str:
    return " ".join(tag.get_text(" ").split())


def test_branches_lead_from_component_to_fault_to_what_it_comes_from(library: Library) -> None:
    # Weights by hand: 4 × .7 and 2 × .7, and a tenth of all kept for what no card names.
    parts = {words(part.summary): part for part in tree_of(library).select("details") if part.summary}
    assert list(parts) == ["The feeder 60 % of such calls", "The part 30 % of such calls"]
    assert [words(box) for box in parts["The feeder 60 % of such calls"].select("a.fl-tree__box")] == [
        "The valve 60 %", "The age always", "The dirt usually",
    ]  # fmt: skip
    assert [words(box) for box in parts["The part 30 % of such calls"].select("a.fl-tree__box")] == [
        "The bypass 30 %", "The age brings on others", "The dirt brings on others",
    ]  # fmt: skip
    assert words(tree_of(library)).endswith("10 % of such calls: something that no card describes.")


def test_every_edge_behind_the_symptom_is_a_branch(library: Library) -> None:
    graph = build_graph(library)
    behind = {(a, b) for a, b, data in graph.edges(data=True) if data["relation"] == "comes from"}
    urls = {data["url"]: name for name, data in graph.nodes(data=True)}
    drawn = set()
    for item in tree_of(library).select("details > ul > li"):
        (cause, *origins) = [urls[posixpath.normpath(f"graphs/{a['href']}")] for a in item.select("a.fl-tree__box")]
        drawn |= {(cause, origin) for origin in origins}
    assert drawn == behind


def test_components_fold_and_the_first_alone_is_open(library: Library) -> None:
    assert [part.has_attr("open") for part in tree_of(library).select("details")] == [True, False]


def test_it_shows_the_notice_and_stands_outside_the_sections(library: Library) -> None:
    page: SitePage = graph_page(library, work_library(library, METRICS, effort=QUICK)["overfills"])
    assert (page.acts, page.group, page.path) == (True, "", "graphs/overfills.html")
    assert library.site.notice in BeautifulSoup(page.html, "html.parser").get_text()


def test_an_emergency_without_causes_has_its_page_too(library: Library) -> None:
    assert tree_of(library, "gas").select("details") == []


def test_every_link_leads_to_a_page_of_the_site_or_to_its_data(library: Library) -> None:
    pages = pages_of(library)
    for symptom in library.symptoms:
        page = pages[f"graphs/{symptom}.html"]
        links = {a["href"] for a in BeautifulSoup(page.html, "html.parser").select("a[href]")}
        assert "../graph.json" in links
        targets = {posixpath.normpath(f"graphs/{link}").partition("#")[0] for link in links}
        assert targets - {"graph.json"} <= set(pages)
        assert f"../{page.path}" in pages[f"symptoms/{symptom}.html"].html
