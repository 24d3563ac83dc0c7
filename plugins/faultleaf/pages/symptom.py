"""A symptom's page, to find by: make safe, what parts the causes, the likeliest of them, quick looks, the charts."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from markupsafe import Markup

from faultleaf.cards import Library, Symptom, Test, card_url, chart_url, graph_url
from faultleaf.cards.text import Node, Text
from faultleaf.cards.urls import call_url, causes_url
from faultleaf.diagnosis import UNLISTED
from faultleaf.pages.common import (
    CautionView,
    Link,
    Part,
    book_links,
    by_signal,
    caution_views,
    lead_of,
    link_to,
    parts_of,
    share,
    sheet_links,
    wall_links,
)
from faultleaf.pages.markup import in_boxes
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.pages.worked import WorkedSymptom
from faultleaf.words import capital, minutes_text, share_text

SHOWN_CAUSES: Final = 4
SHOWN_LOOKS: Final = 3
QUICK_MINUTES: Final = 10.0
QUICK_WAYS: Final = ("ask", "look", "listen", "feel")
SMALLEST_GAIN: Final = 1e-9
PARTING: Final = ("ol", "ul", "table")
"""What an author parts the causes by: the first of these in the card's text."""


@dataclass(frozen=True)
class ChartLinks:
    """A variant's chart on a page, and typeset."""

    page: Link
    downloads: tuple[Link, ...]


@dataclass(frozen=True)
class SymptomView:
    """Everything on a symptom's page."""

    title: str
    emergency: bool
    work: Link
    lead: Markup
    make_safe: tuple[CautionView, ...]
    safe_keys: tuple[tuple[CautionView, ...], ...]
    parting: Markup
    teaching: Markup
    first: tuple[Link, ...]
    quick: tuple[Link, ...]
    causes: tuple[Link, ...]
    every_cause: Link
    charts: tuple[ChartLinks, ...]
    book: tuple[Link, ...]
    wall: tuple[Link, ...]
    graph: Link
    parts: tuple[Part, ...]
    call: str


def page_of_symptom(library: Library, worked: WorkedSymptom) -> SitePage:
    """The page of one symptom."""
    symptom = worked.symptom
    path = card_url(symptom)
    base = base_of(path)
    parting, teaching = _taught(symptom)
    panels = caution_views(library, symptom.make_safe)
    shares = [(name, value) for name, value in worked.belief.ranked() if name != UNLISTED and value > 0]
    view = SymptomView(
        title=symptom.title,
        emergency=symptom.emergency,
        work=Link("Work this call", call_url(symptom.id)),
        lead=lead_of(symptom, base),
        make_safe=panels,
        safe_keys=by_signal(panels),
        parting=in_boxes(parting, symptom.folder, base),
        teaching=in_boxes(teaching, symptom.folder, base),
        first=tuple(_look(library.tests[check.test]) for check in symptom.first),
        quick=() if symptom.emergency else tuple(_look(test) for test in quick_looks(library, worked)),
        causes=tuple(
            link_to(library.faults[name], share_text(value), share(value)) for name, value in shares[:SHOWN_CAUSES]
        ),
        every_cause=Link(_all_words(len(shares)), causes_url(symptom)),
        charts=tuple(
            ChartLinks(Link(capital(each.name), chart_url(symptom, each.name)), sheet_links(symptom, each))
            for each in worked.variants
        ),
        book=book_links(worked.variants),
        wall=wall_links(worked.variants),
        graph=Link("The causes drawn as a tree", graph_url(symptom)),
        parts=parts_of(symptom, base),
        call=library.site.call,
    )
    return render_page(
        "symptom.html", path, view, library.site,
        title=symptom.title, description=f"{symptom.title}: make safe, what parts the causes, a flowchart to print.",
        headings=_headings(view), acts=True, group="symptoms",
    )  # fmt: skip


def _headings(view: SymptomView) -> list[Heading]:
    offered = [
        (view.parting, "what-it-means", "What it means"), (view.causes, "causes", "Likeliest causes"),
        (view.first or view.quick, "looks", "First looks and questions"), (view.charts, "charts", "Charts to print"),
    ]  # fmt: skip
    headings = [Heading(anchor, title) for shown, anchor, title in offered if shown]
    return [*headings, *(part.heading for part in view.parts)]


def _all_words(count: int) -> str:
    return f"All {count} causes, and every test" if count > 1 else "The causes and the tests"


def _look(test: Test) -> Link:
    return link_to(test, minutes_text(test.takes))


def _taught(symptom: Symptom) -> tuple[Text, Text]:
    """What the card teaches, cut in two: what parts the causes, with the words that lead to it, and all the rest."""
    text = tuple(node for title in symptom.sections if (part := symptom.body.section(title)) for node in part.text)
    place = next((at for at, node in enumerate(text) if isinstance(node, Node) and node.tag in PARTING), None)
    if place is None:
        return text[:1], text[1:]
    start = max(place - 1, 0)
    return text[start : place + 1], text[:start] + text[place + 1 :]


def quick_looks(library: Library, worked: WorkedSymptom) -> tuple[Test, ...]:
    """The quick tests, gently done, that part the causes best; those that come first anyway are left out.

    None in an emergency: nothing is looked for.
    """
    if worked.symptom.emergency:
        return ()
    first = {check.test for check in worked.symptom.first}
    rated = [(-gain, test.takes, test.id) for gain, test in information(library, worked) if _is_quick(test)]
    return tuple(library.tests[name] for _, _, name in sorted(rated) if name not in first)[:SHOWN_LOOKS]


def _is_quick(test: Test) -> bool:
    return test.way in QUICK_WAYS and not test.wait and test.takes <= QUICK_MINUTES


Numbers = np.ndarray[tuple[int, ...], np.dtype[np.float64]]


def information(library: Library, worked: WorkedSymptom) -> Iterator[tuple[float, Test]]:
    """How much each test that is asked about this symptom tells of the cause before anything is found: the mutual
    information (Shannon 1948), nats."""
    belief = worked.belief.probabilities
    for test in worked.problem.tests:
        if test.offered and test.id in library.tests:
            gain = _entropy(belief @ test.table) - sum(belief * [_entropy(row) for row in test.table])
            if gain > SMALLEST_GAIN:
                yield round(float(gain), 9), library.tests[test.id]


def _entropy(chances: Numbers) -> float:
    seen = chances[chances > 0]
    return float(-(seen @ np.log(seen)))
