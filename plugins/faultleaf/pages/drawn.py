"""What pages show of the drawing: windows into it, cut-aways, and the page that holds the whole."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from faultleaf.cards import Component, Library, card_url
from faultleaf.cards.urls import PLANT_PAGE
from faultleaf.drawing import CUTAWAYS, PLANT, Pane, crop_of, draw_crop, draw_cutaway, draw_pane
from faultleaf.layout import FontMetrics
from faultleaf.pages.common import Link, link_to
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page

PLANT_TITLE: Final = "The whole plant, drawn"


@dataclass(frozen=True)
class CutawayView:
    """A part cut open, with its words."""

    title: str
    about: str
    svg: Markup


@dataclass(frozen=True)
class DrawnView:
    """A component on a page: the window round it, the way to it on the whole drawing, and its insides."""

    component: Link
    place: Link
    svg: Markup
    inside: tuple[CutawayView, ...]


@dataclass(frozen=True)
class Drawings:
    """Draws the components of a site; each window and cut-away is drawn once."""

    library: Library
    metrics: FontMetrics

    def of(self, name: str | None) -> DrawnView | None:
        """The component with this id as pages show it; None where it is not on the drawing."""
        crop = crop_of(PLANT, name, self.metrics) if name else None
        if name is None or crop is None:
            return None
        card = self.library.components[name]
        svg = draw_crop(PLANT, crop, f"window-{name}", f"Where it is: {card.title}", self.metrics)
        inside = tuple(
            CutawayView(one.title, one.about, Markup(draw_cutaway(one, self.metrics)))
            for one in CUTAWAYS
            if name in one.cards
        )
        place = Link("the whole plant, drawn", f"{PLANT_PAGE}#part-{crop.named[0]}")
        return DrawnView(link_to(card), place, Markup(svg), inside)


@dataclass(frozen=True)
class PaneView:
    """One pane of the whole, and the components in it in words."""

    id: str
    title: str
    about: str
    svg: Markup
    parts: tuple[Link, ...]


@dataclass(frozen=True)
class PlantView:
    """The page of the whole drawing; `others` are the components that are not on it."""

    panes: tuple[PaneView, ...]
    others: tuple[Link, ...]


def plant_page(library: Library, metrics: FontMetrics) -> SitePage | None:
    """The whole drawing, each part with a card leading to it; None where no component of the site is on it."""
    drawn = _drawn(library)
    if not drawn:
        return None
    base = base_of(PLANT_PAGE)
    links = {name: (base + card_url(library.components[name]), library.components[name].title) for name in drawn}
    panes = tuple(
        PaneView(
            pane.id,
            pane.title,
            pane.about,
            Markup(draw_pane(PLANT, pane, links, metrics)),
            tuple(_named(library.components[name]) for name in _in_pane(pane, drawn, metrics)),
        )
        for pane in PLANT.panes
    )
    others = tuple(_named(card) for card in library.components.values() if card.id not in drawn)
    return render_page(
        "plant.html", PLANT_PAGE, PlantView(panes, others), library.site,
        title=PLANT_TITLE,
        description="A steam boiler with its pipes, controls, feed, returns and radiators on one page.",
        headings=[Heading("in-words", "The same in words")], acts=False, shell="wide",
    )  # fmt: skip


def plant_link(library: Library) -> Link | None:
    """The way to the page of the whole drawing, where there is one."""
    return Link(PLANT_TITLE, PLANT_PAGE) if _drawn(library) else None


def _drawn(library: Library) -> list[str]:
    """The components that are on the drawing, in its order."""
    return [part.card for part in PLANT.parts if part.card in library.components]


def _in_pane(pane: Pane, drawn: Iterable[str], metrics: FontMetrics) -> Iterable[str]:
    """The components whose first label stands in this pane, once each."""
    here = {part.card for part in PLANT.parts for label in part.labels[:1] if pane.box.holds(label.box(metrics))}
    return [name for name in dict.fromkeys(drawn) if name in here]


def _named(card: Component) -> Link:
    return link_to(card, ", ".join(card.also_called))
