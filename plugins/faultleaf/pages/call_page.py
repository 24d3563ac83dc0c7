"""The page on which a call is worked: a place for the scripts, and without them the way to the charts."""

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from faultleaf.cards import Library, chart_url
from faultleaf.cards.urls import CALL_PAGE
from faultleaf.pages.common import Link, link_to
from faultleaf.pages.drawn import Drawings
from faultleaf.pages.page import SitePage
from faultleaf.pages.render import render_page
from faultleaf.words import capital


@dataclass(frozen=True)
class CallSymptom:
    """A symptom with its charts, for whoever has no scripts."""

    link: Link
    charts: tuple[Link, ...]


@dataclass(frozen=True)
class CallView:
    """What stands on the page before a script has run."""

    symptoms: tuple[CallSymptom, ...]
    windows: Mapping[str, Markup]


def call_page(library: Library, drawings: Drawings) -> SitePage:
    """The page "Work the call"."""
    offered = sorted(library.symptoms.values(), key=lambda symptom: (not symptom.emergency, symptom.title))
    view = CallView(
        tuple(
            CallSymptom(
                link_to(symptom),
                tuple(
                    Link(capital(name), chart_url(symptom, name))
                    for name in ({} if symptom.emergency else symptom.variants)
                ),
            )
            for symptom in offered
        ),
        _windows(library, drawings),
    )
    return render_page(
        "call.html", CALL_PAGE, view, library.site,
        title="Work the call", description="One clear step at a time, from what you see to a proved repair.",
        acts=True, shell="call",
    )  # fmt: skip


def _windows(library: Library, drawings: Drawings) -> dict[str, Markup]:
    """The windows that stand beside steps, by the component that a test is done at or a repair mends."""
    wanted = {test.at for test in library.tests.values()} | {fault.component for fault in library.faults.values()}
    drawn = {name: drawings.of(name) for name in sorted(wanted - {None}, key=str)}
    return {str(name): view.svg for name, view in drawn.items() if view}
