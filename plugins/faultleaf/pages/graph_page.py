"""The page that draws the causes of one symptom as a tree: component, fault, and what that fault comes from."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from faultleaf.cards import Fault, Library, card_url, graph_url
from faultleaf.diagnosis import UNLISTED
from faultleaf.pages.common import Link, link_to, often, share
from faultleaf.pages.page import SitePage
from faultleaf.pages.render import render_page
from faultleaf.pages.worked import WorkedSymptom
from faultleaf.words import often_text, share_text

OPEN: Final = 1
"""So many components stand open at first."""


@dataclass(frozen=True)
class Branch:
    """A fault, and what it comes from, the most frequent first."""

    link: Link
    comes_from: tuple[Link, ...]


@dataclass(frozen=True)
class Part:
    """A component with the faults that live in it; `about` leads to its page."""

    title: Link
    about: Link
    open: bool
    branches: tuple[Branch, ...]


@dataclass(frozen=True)
class GraphView:
    """Everything on the page."""

    symptom: Link
    parts: tuple[Part, ...]
    unlisted: str


def graph_page(library: Library, worked: WorkedSymptom) -> SitePage:
    """The page of a symptom's tree; shares are those of any system, before anything is tested."""
    symptom = worked.symptom
    shares = {name: value for name, value in worked.belief.ranked() if value > 0}
    view = GraphView(
        symptom=Link(symptom.title, card_url(symptom)),
        parts=tuple(_parts(library, shares)),
        unlisted=share_text(shares[UNLISTED]) if UNLISTED in shares else "",
    )
    return render_page(
        "graph.html", graph_url(symptom), view, library.site,
        title=f"Causes as a tree: {symptom.title}",
        description=f"{symptom.title}: its causes by component, and what those come from.", acts=True,
    )  # fmt: skip


def _parts(library: Library, shares: Mapping[str, float]) -> Iterator[Part]:
    """The components, that with the largest share first; in each its faults, likewise."""
    rooms: dict[str, list[Fault]] = {}
    for name in sorted(_reached(library, shares), key=lambda name: (-shares.get(name, 0.0), name)):
        fault = library.faults[name]
        rooms.setdefault(fault.component, []).append(fault)
    sums = {room: math.fsum(shares.get(fault.id, 0.0) for fault in faults) for room, faults in rooms.items()}
    for place, room in enumerate(sorted(rooms, key=lambda room: (-sums[room], room))):
        component = library.components[room]
        dots = share(sums[room]) if sums[room] else None
        note = dots.words if dots else "brings on others"
        yield Part(
            Link(component.title, card_url(component), note, dots),
            Link(f"About the {component.title.lower()}", card_url(component)),
            place < OPEN,
            tuple(_cause(library, fault, shares) for fault in rooms[room]),
        )


def _reached(library: Library, shares: Mapping[str, float]) -> set[str]:
    """The causes of the symptom, and whatever those come from in their turn."""
    ahead, found = [name for name in shares if name != UNLISTED], set[str]()
    while ahead:
        name = ahead.pop()
        if name not in found:
            found.add(name)
            ahead += library.faults[name].comes_from
    return found


def _cause(library: Library, fault: Fault, shares: Mapping[str, float]) -> Branch:
    value = shares.get(fault.id)
    link = link_to(fault, share_text(value), share(value)) if value else link_to(fault, "brings on others")
    return Branch(link, _origins(library, fault))


def _origins(library: Library, fault: Fault) -> tuple[Link, ...]:
    behind = sorted(fault.comes_from.items(), key=lambda pair: (-pair[1], pair[0]))
    return tuple(link_to(library.faults[name], often_text(chance), often(chance)) for name, chance in behind)
