"""What hangs from a symptom, in the order of drawing and telling: components, their faults, what these come from."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from faultleaf.graph import symptom_graph
from faultleaf.words import strength_word

if TYPE_CHECKING:
    import networkx as nx

UNLISTED = "unlisted"
"""Id of the cause that no card names; no card has it as a node, whose names begin with their kind."""


@dataclass(frozen=True)
class Share:
    """The share of such calls (0 to 1), and how it is printed."""

    value: float
    words: str


@dataclass(frozen=True)
class Origin:
    """A cause of a cause: the node of that fault, and how often the fault comes from it, in words."""

    node: str
    often: str


@dataclass(frozen=True)
class Cause:
    """A fault. `number` is its place in the drawing, from 1; `share` is None where it never shows as the symptom."""

    node: str
    number: int
    title: str
    url: str
    share: Share | None
    told_by: tuple[str, ...]  # nodes of tests
    comes_from: tuple[Origin, ...]


@dataclass(frozen=True)
class Group:
    """A component with the faults that live in it; the cause that no card names lives in no component ("")."""

    node: str
    title: str
    url: str
    causes: tuple[Cause, ...]


@dataclass(frozen=True)
class CauseGraph:
    """A symptom with all its causes. Addresses are relative to the site's root."""

    node: str
    title: str
    url: str
    groups: tuple[Group, ...]

    def causes(self) -> Mapping[str, Cause]:
        """The causes by their node, in order of their number."""
        return {cause.node: cause for group in self.groups for cause in group.causes}


def read_causes(
    graph: nx.DiGraph[str], symptom: str, shares: Mapping[str, Share], unlisted: tuple[str, str]
) -> CauseGraph:
    """The causes of one symptom, from the graph of the whole library.

    `shares` goes by the faults' nodes, and may hold UNLISTED; `unlisted` is that cause's title and address.
    The component with the largest share comes first, in it the fault with the largest; equal ones by node.
    A component outside `symptom_graph` is taken in where a cause of a cause lives in it.
    """
    part = symptom_graph(graph, symptom)
    faults = [name for name, data in part.nodes(data=True) if data["kind"] == "fault"]
    faults.sort(key=lambda name: (-_value(shares, name), name))
    rooms: dict[str, list[str]] = {}
    for name in faults:
        rooms.setdefault(_targets(graph, name, "lives in")[0], []).append(name)
    order = sorted(rooms, key=lambda room: (-math.fsum(_value(shares, name) for name in rooms[room]), room))
    numbers = {name: number for number, name in enumerate((name for room in order for name in rooms[room]), start=1)}
    groups = [
        _group(graph, room, tuple(_cause(graph, name, numbers[name], shares.get(name)) for name in rooms[room]))
        for room in order
    ]
    if UNLISTED in shares:
        rest = Cause(UNLISTED, len(numbers) + 1, *unlisted, shares[UNLISTED], (), ())
        groups.append(Group("", "", "", (rest,)))
    root = f"symptom:{symptom}"
    return CauseGraph(root, graph.nodes[root]["title"], graph.nodes[root]["url"], tuple(groups))


def _value(shares: Mapping[str, Share], name: str) -> float:
    """The share to sort by; what never shows as the symptom comes after what hardly ever does."""
    return shares[name].value if name in shares else -1e-9


def _targets(graph: nx.DiGraph[str], name: str, relation: str) -> list[str]:
    return sorted(target for target, edge in graph[name].items() if edge["relation"] == relation)


def _group(graph: nx.DiGraph[str], room: str, causes: tuple[Cause, ...]) -> Group:
    return Group(room, graph.nodes[room]["title"], graph.nodes[room]["url"], causes)


def _cause(graph: nx.DiGraph[str], name: str, number: int, share: Share | None) -> Cause:
    data = graph.nodes[name]
    told_by = tuple(_targets(graph, name, "told by"))
    return Cause(name, number, data["title"], data["url"], share, told_by, tuple(_origins(graph, name)))


def _origins(graph: nx.DiGraph[str], name: str) -> Iterator[Origin]:
    """What the fault comes from, the most frequent first."""
    edges = [(graph.edges[name, target]["strength"], target) for target in _targets(graph, name, "comes from")]
    for strength, target in sorted(edges, key=lambda edge: (-edge[0], edge[1])):
        yield Origin(target, strength_word(strength))
