"""The page that draws the causes of one symptom, and tells the same in words."""

from dataclasses import dataclass

import networkx as nx
from markupsafe import Markup

from faultleaf.cards import Library, card_url, graph_url
from faultleaf.diagnosis import UNLISTED
from faultleaf.graph import node
from faultleaf.layout import FontMetrics
from faultleaf.layout import causes as drawn
from faultleaf.layout.graph_picture import place_causes
from faultleaf.layout.graph_svg import draw_graph
from faultleaf.pages.common import Link, link_to
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.pages.worked import WorkedSymptom
from faultleaf.words import share_text

NUMBERS_PAGE = "about-the-numbers.html"
NOT_NAMED = "A cause that no card names"


@dataclass(frozen=True)
class CauseInWords:
    """A fault with its number in the drawing, the tests that tell it and what it comes from."""

    number: int
    link: Link
    told_by: tuple[Link, ...]
    comes_from: tuple[Link, ...]


@dataclass(frozen=True)
class GroupInWords:
    """A component and its faults."""

    link: Link
    causes: tuple[CauseInWords, ...]


@dataclass(frozen=True)
class GraphView:
    """Everything on the page."""

    symptom: Link
    svg: Markup
    groups: tuple[GroupInWords, ...]
    unlisted: str


def graph_page(library: Library, graph: "nx.DiGraph[str]", worked: WorkedSymptom, metrics: FontMetrics) -> SitePage:
    """The page of a symptom's graph; shares are those of any system, before anything is tested."""
    symptom = worked.symptom
    path = graph_url(symptom)
    causes = drawn.read_causes(graph, symptom.id, shares_of(worked), (NOT_NAMED, NUMBERS_PAGE))
    rest = causes.causes().get(drawn.UNLISTED)
    view = GraphView(
        symptom=link_to(symptom),
        svg=Markup(draw_graph(place_causes(causes, metrics), base_of(path))),
        groups=tuple(_group(library, causes, group) for group in causes.groups if group.node),
        unlisted=rest.share.words if rest and rest.share else "",
    )
    title = f"Causes drawn: {symptom.title}"
    return render_page(
        "graph.html", path, view, library.site,
        title=title, description=f"{symptom.title}: a drawing of its causes, and of what those come from.",
        headings=[Heading("drawing", "The drawing"), Heading("words", "The same in words")], acts=True,
    )  # fmt: skip


def shares_of(worked: WorkedSymptom) -> dict[str, drawn.Share]:
    """The shares of a symptom's causes by their node in the graph, and that of the unlisted cause."""
    return {
        drawn.UNLISTED if name == UNLISTED else node("fault", name): drawn.Share(share, share_text(share))
        for name, share in worked.belief.ranked()
    }


def _group(library: Library, causes: drawn.CauseGraph, group: drawn.Group) -> GroupInWords:
    return GroupInWords(Link(group.title, group.url), tuple(_cause(library, causes, cause) for cause in group.causes))


def _cause(library: Library, causes: drawn.CauseGraph, cause: drawn.Cause) -> CauseInWords:
    known = causes.causes()
    note = f"{cause.share.words} of such calls" if cause.share else "brings on others"
    tests = [library.tests[name.partition(":")[2]] for name in cause.told_by]
    origins = [(known[origin.node], origin.often) for origin in cause.comes_from]
    return CauseInWords(
        cause.number,
        Link(cause.title, cause.url, note),
        tuple(Link(test.title, card_url(test)) for test in tests),
        tuple(Link(f"{far.number} {far.title}", far.url, often) for far, often in origins),
    )
