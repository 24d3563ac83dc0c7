"""graph/build.py on three tiny named libraries: a chain, a fork and a collider."""

import json
import random
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import networkx as nx
import pytest
from faultleaf.cards import Library
from faultleaf.graph import build_graph, graph_data, node, relation_graph

from tests.library import make_library

Entries = Mapping[str, Mapping[str, Any]]
CHAIN: Entries = {
    "symptoms/shuts-off": {},
    "faults/low-water": {
        "symptoms": {"shuts-off": "usually"}, "comes_from": {"leak": "often"}, "shows": {"look": "seen"},
    },
    "faults/leak": {"comes_from": {"rust": "half"}, "shows": {"walk": "seen"}},
    "faults/rust": {},
    "tests/look": {},
    "tests/walk": {},
}  # fmt: skip
"""symptom → fault → cause of the fault → cause of that."""

FORK: Entries = {
    "symptoms/overfills": {},
    "symptoms/knocks": {},
    "faults/valve": {"symptoms": {"overfills": "always", "knocks": "0.25"}},
}
"""One fault behind two symptoms."""

COLLIDER: Entries = {
    "symptoms/overfills": {},
    "faults/bypass": {"symptoms": {"overfills": "often"}, "comes_from": {"dirt": "often"}, "shows": {"hold": "seen"}},
    "faults/valve": {"symptoms": {"overfills": "often"}, "comes_from": {"dirt": "half"}, "shows": {"hold": "unseen"}},
    "faults/dirt": {},
    "tests/hold": {},
}
"""Two faults behind one symptom, told by one test, with one cause in common."""
LIBRARIES = {"chain": CHAIN, "fork": FORK, "collider": COLLIDER}
ENDS = {
    "may be caused by": ("symptom", "fault"),
    "comes from": ("fault", "fault"),
    "lives in": ("fault", "component"),
    "told by": ("fault", "test"),
}


def edges(graph: "nx.DiGraph[str]", relation: str) -> list[tuple[str, str]]:
    return [(a, b) for a, b, data in graph.edges(data=True) if data["relation"] == relation]


def test_the_chain(tmp_path: Path) -> None:
    graph = build_graph(make_library(tmp_path, CHAIN))
    assert list(graph.nodes) == [
        "symptom:shuts-off", "fault:leak", "fault:low-water", "fault:rust", "component:part", "test:look", "test:walk",
    ]  # fmt: skip
    assert edges(graph, "may be caused by") == [("symptom:shuts-off", "fault:low-water")]
    assert edges(graph, "comes from") == [("fault:leak", "fault:rust"), ("fault:low-water", "fault:leak")]
    assert edges(graph, "told by") == [("fault:leak", "test:walk"), ("fault:low-water", "test:look")]
    assert len(edges(graph, "lives in")) == 3


def test_edges_carry_what_the_card_says(tmp_path: Path) -> None:
    graph = build_graph(make_library(tmp_path, FORK))
    assert graph.edges["symptom:knocks", "fault:valve"] == {"relation": "may be caused by", "strength": 0.25}
    assert graph.edges["symptom:overfills", "fault:valve"]["strength"] == 0.99
    assert graph.edges["fault:valve", "component:part"] == {"relation": "lives in"}


def test_nodes_carry_kind_title_and_address(tmp_path: Path) -> None:
    graph = build_graph(make_library(tmp_path, FORK))
    assert graph.nodes["fault:valve"] == {"kind": "fault", "title": "The valve", "url": "faults/valve.html"}


def test_common_causes_meet_in_one_node(tmp_path: Path) -> None:
    graph = build_graph(make_library(tmp_path, COLLIDER))
    assert sorted(graph.predecessors("fault:dirt")) == ["fault:bypass", "fault:valve"]
    assert sorted(graph.predecessors("test:hold")) == ["fault:bypass", "fault:valve"]


@pytest.mark.parametrize("name", LIBRARIES)
def test_every_edge_runs_between_the_kinds_of_its_relation(name: str, tmp_path: Path) -> None:
    graph = build_graph(make_library(tmp_path, LIBRARIES[name]))
    for source, target, data in graph.edges(data=True):
        assert (graph.nodes[source]["kind"], graph.nodes[target]["kind"]) == ENDS[data["relation"]]
    assert sum(len(edges(graph, relation)) for relation in ENDS) == graph.number_of_edges()


@pytest.mark.parametrize("name", LIBRARIES)
def test_one_relation_keeps_all_nodes_and_only_its_edges(name: str, tmp_path: Path) -> None:
    graph = build_graph(make_library(tmp_path, LIBRARIES[name]))
    causal = relation_graph(graph, "comes from")
    assert list(causal.nodes(data=True)) == list(graph.nodes(data=True))
    assert list(causal.edges) == edges(graph, "comes from")


@pytest.mark.parametrize("name", LIBRARIES)
def test_the_data_can_be_read_back_by_the_library_that_named_its_form(name: str, tmp_path: Path) -> None:
    graph = build_graph(make_library(tmp_path, LIBRARIES[name]))
    data = json.loads(json.dumps(graph_data(graph)))
    assert data["faultleaf"] == 1
    again = nx.node_link_graph(data, edges="edges")
    assert list(again.nodes(data=True)) == list(graph.nodes(data=True))
    assert again.is_directed()
    assert {(a, b): d for a, b, d in again.edges(data=True)} == {(a, b): d for a, b, d in graph.edges(data=True)}


@pytest.mark.parametrize("name", LIBRARIES)
def test_the_order_of_the_cards_changes_nothing(name: str, tmp_path: Path) -> None:
    library = make_library(tmp_path, LIBRARIES[name])
    expected = json.dumps(graph_data(build_graph(library)))
    chance = random.Random(3)
    for _ in range(10):
        keys = list(library.cards)
        chance.shuffle(keys)
        shuffled = Library({key: library.cards[key] for key in keys}, origins=library.origins)
        assert json.dumps(graph_data(build_graph(shuffled))) == expected


def test_a_node_is_named_by_kind_and_id() -> None:
    assert node("fault", "valve") == "fault:valve"
