"""Cards → the symptom-to-cause graph as pages, index and checks read it."""

from collections.abc import Iterator
from typing import Any

import networkx as nx

from faultleaf.cards import Card, Library, card_url

Node = str
"""Kind and id, for example "fault:bypass-seat-worn"."""

FORMAT_VERSION = 1


def node(kind: str, name: str) -> Node:
    """The graph's node of a card."""
    return f"{kind}:{name}"


def build_graph(library: Library) -> "nx.DiGraph[Node]":
    """The directed graph over symptoms, faults, components and tests.

    Edges carry `relation`: symptom → fault "may be caused by" (with `strength`, P(symptom | fault)),
    fault → fault "comes from" (with `strength`), fault → component "lives in", fault → test "told by".
    Nodes carry `kind`, `title` and `url`. Nodes and edges stand in sorted order, so output is stable.
    """
    graph: nx.DiGraph[Node] = nx.DiGraph()
    for cards in (library.symptoms, library.faults, library.components, library.tests):
        for card in cards.values():
            graph.add_node(node(card.kind, card.id), **_attributes(card))
    for source, target, attributes in sorted(_edges(library), key=lambda edge: edge[:2]):
        graph.add_edge(source, target, **attributes)
    return graph


def relation_graph(graph: "nx.DiGraph[Node]", relation: str) -> "nx.DiGraph[Node]":
    """All nodes, and the edges of one relation."""
    part: nx.DiGraph[Node] = nx.DiGraph()
    part.add_nodes_from(graph.nodes(data=True))
    part.add_edges_from((a, b, data) for a, b, data in graph.edges(data=True) if data["relation"] == relation)
    return part


def graph_data(graph: "nx.DiGraph[Node]") -> dict[str, Any]:
    """The graph as node-link JSON (networkx `node_link_data`, edges under "edges"), with our version."""
    return {"faultleaf": FORMAT_VERSION, **nx.node_link_data(graph, edges="edges")}


def _attributes(card: Card) -> dict[str, str]:
    return {"kind": card.kind, "title": card.title, "url": card_url(card)}


def _edges(library: Library) -> Iterator[tuple[Node, Node, dict[str, Any]]]:
    for fault in library.faults.values():
        here = node("fault", fault.id)
        for symptom, strength in fault.symptoms.items():
            yield node("symptom", symptom), here, {"relation": "may be caused by", "strength": strength}
        for cause, strength in fault.comes_from.items():
            yield here, node("fault", cause), {"relation": "comes from", "strength": strength}
        yield here, node("component", fault.component), {"relation": "lives in"}
        for test in fault.named_tests:
            yield here, node("test", test), {"relation": "told by"}
