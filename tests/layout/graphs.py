"""Graphs for the tests of the picture: three tiny named ones and random ones, in the form that `build_graph` gives."""

from __future__ import annotations

import random
from collections.abc import Mapping

import networkx as nx
from faultleaf.layout.causes import UNLISTED, CauseGraph, Share, read_causes

from tests.layout.charts import random_text

SYMPTOM = "overfills"
ROOT = f"symptom:{SYMPTOM}"
NUMBERS = ("A cause that no card names", "about-the-numbers.html")


def graph_of(
    rooms: Mapping[str, str],
    shows: Mapping[str, float],
    comes_from: Mapping[tuple[str, str], float],
    told_by: Mapping[str, tuple[str, ...]],
    titles: Mapping[str, str] | None = None,
) -> nx.DiGraph[str]:
    """A library's graph from: fault → component, fault → strength, (fault, its cause) → strength, fault → tests."""
    titles = titles or {}
    graph: nx.DiGraph[str] = nx.DiGraph()
    tests = {test for several in told_by.values() for test in several}
    names = [ROOT, *(f"fault:{f}" for f in rooms), *(f"component:{c}" for c in rooms.values())]
    for name in (*names, *(f"test:{t}" for t in tests)):
        kind, _, short = name.partition(":")
        graph.add_node(name, kind=kind, title=titles.get(name, f"The {short}"), url=f"{kind}s/{short}.html")
    for fault, room in rooms.items():
        graph.add_edge(f"fault:{fault}", f"component:{room}", relation="lives in")
        for test in told_by.get(fault, ()):
            graph.add_edge(f"fault:{fault}", f"test:{test}", relation="told by")
    for fault, strength in shows.items():
        graph.add_edge(ROOT, f"fault:{fault}", relation="may be caused by", strength=strength)
    for (fault, cause), strength in comes_from.items():
        graph.add_edge(f"fault:{fault}", f"fault:{cause}", relation="comes from", strength=strength)
    return graph


CHAIN = graph_of(
    {"valve": "feeder", "passages": "feeder", "strainer": "pipe"},
    {"valve": 0.95},
    {("valve", "passages"): 0.7, ("passages", "strainer"): 0.85},
    {"valve": ("hold", "listen"), "passages": ("hold",)},
)
"""symptom → fault → cause of the fault → cause of that, which lives where nothing else does."""

FORK = graph_of({"a": "x", "b": "y", "c": "x"}, {"a": 0.5, "b": 0.5, "c": 0.5}, {}, {})
"""Three faults in two components, and nothing behind them."""

COLLIDER = graph_of(
    {"bypass": "bypass", "valve": "feeder", "dirt": "pipe"},
    {"bypass": 0.5, "valve": 0.5},
    {("bypass", "dirt"): 0.35, ("valve", "dirt"): 0.3},
    {},
)
"""Two faults with one cause in common."""

SHARES: Mapping[str, Mapping[str, float]] = {
    "chain": {"fault:valve": 0.9, UNLISTED: 0.1},
    "fork": {"fault:a": 0.2, "fault:b": 0.35, "fault:c": 0.4, UNLISTED: 0.05},
    "collider": {"fault:bypass": 0.5, "fault:valve": 0.5},
}
NAMED: Mapping[str, nx.DiGraph[str]] = {"chain": CHAIN, "fork": FORK, "collider": COLLIDER}


def random_graph(seed: int) -> tuple[nx.DiGraph[str], Mapping[str, float]]:
    """Up to 40 faults, with titles of any length, and their shares of the calls."""
    rng = random.Random(seed)
    faults = [f"f{i}" for i in range(rng.randint(0, 40))]
    rooms = {fault: f"c{rng.randint(0, 12)}" for fault in faults}
    shows = {fault: rng.random() for fault in faults if rng.random() < 0.8}
    behind = {
        (one, other): rng.choice((0.1, 0.3, 0.42, 0.7))
        for i, one in enumerate(faults)
        for other in faults[i + 1 :]
        if rng.random() < 2 / len(faults)
    }
    told_by = {fault: tuple(f"t{t}" for t in range(rng.randint(0, 3))) for fault in faults}
    titles = {f"fault:{fault}": random_text(rng, 3, 90) for fault in faults}
    titles |= {f"component:{room}": random_text(rng, 3, 60) for room in rooms.values()}
    weights = {f"fault:{fault}": rng.random() ** 6 for fault in shows} | {UNLISTED: 0.02}
    total = sum(weights.values())
    graph = graph_of(rooms, shows, behind, told_by, titles)
    return graph, {name: weight / total for name, weight in weights.items()}


def share_map(values: Mapping[str, float]) -> dict[str, Share]:
    """The shares with words as a page prints them."""
    return {name: Share(value, f"{value:.0%}") for name, value in values.items()}


def causes_of(case: str | int) -> CauseGraph:
    """The causes of a named graph, or of the random one with this seed."""
    graph, shares = (NAMED[case], SHARES[case]) if isinstance(case, str) else random_graph(case)
    return read_causes(graph, SYMPTOM, share_map(shares), NUMBERS)


def whole(case: str | int) -> nx.DiGraph[str]:
    """The graph of that case."""
    return NAMED[case] if isinstance(case, str) else random_graph(case)[0]
