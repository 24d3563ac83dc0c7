"""The survey's page: a form to fill in once, the radiators counted by pictures, and what does not match."""

from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from faultleaf.cards import Library, Survey, card_url
from faultleaf.cards.survey import SurveyField
from faultleaf.pages.common import CautionView, Provenance, caution_views, lead_of, provenance
from faultleaf.pages.page import Heading, SitePage, base_of
from faultleaf.pages.render import render_page
from faultleaf.physics import RADIATOR_RATINGS, unit_named
from faultleaf.physics.tables import RADIATOR_SOURCE

ROWS: Final = 14
"""Radiators that have room on the page."""


@dataclass(frozen=True)
class AskedView:
    """A field of the form; `choices`: value and words, empty where something is typed."""

    id: str
    title: str
    where: str
    label: str
    choices: tuple[tuple[str, str], ...]
    has_give: bool


@dataclass(frozen=True)
class GroupView:
    """Fields under one heading; the radiators are counted in the group of their sum."""

    title: str
    fields: tuple[AskedView, ...]
    radiators: bool


@dataclass(frozen=True)
class RadiatorView:
    """One kind of radiator: how it looks from its end, as bars, and its printed heights."""

    id: str
    title: str
    bars: tuple[int, ...]
    round: bool
    heights: str


@dataclass(frozen=True)
class SurveyView:
    """Everything on a survey's page."""

    id: str
    title: str
    lead: Markup
    cautions: tuple[CautionView, ...]
    groups: tuple[GroupView, ...]
    radiators: tuple[RadiatorView, ...]
    rows: int
    radiator_source: str
    provenance: Provenance


def page_of_survey(library: Library, card: Survey) -> SitePage:
    """The page of one survey."""
    path = card_url(card)
    groups = tuple(
        GroupView(
            title,
            tuple(_asked(library, name, each) for name, each in card.asks.items() if each.group == title),
            card.asks[card.radiation].group == title,
        )
        for title in dict.fromkeys(each.group for each in card.asks.values())
    )
    view = SurveyView(
        card.id, card.title, lead_of(card, base_of(path)), caution_views(library, card.cautions), groups,
        tuple(_radiator(kind) for kind in RADIATOR_RATINGS), ROWS, RADIATOR_SOURCE, provenance(library, card),
    )  # fmt: skip
    headings = [Heading("form", "The form"), Heading("matches", "What does not match")]
    return render_page(
        "survey.html", path, view, library.site,
        title=card.title, description=f"{card.title}: one record of an installation, taken at leisure.",
        headings=headings, acts=True, group="worksheets", shell="worksheet",
    )  # fmt: skip


def _asked(library: Library, name: str, each: SurveyField) -> AskedView:
    choices: tuple[tuple[str, str], ...] = tuple((words, words) for words in each.choices)
    if each.feature:
        choices = tuple((value, one.title) for value, one in library.equipment[each.feature].values.items())
    label = unit_named(each.unit).label if each.unit and not each.choices else ""
    return AskedView(name, each.title, each.where, label, choices, bool(each.unit) and not choices)


def _radiator(kind: str) -> RadiatorView:
    rating = RADIATOR_RATINGS[kind]
    family, _, count = kind.partition("-")
    heights = ", ".join(f"{height:g}" for height in rating.by_height)
    return RadiatorView(kind, rating.title, tuple(range(int(count))), family == "column", heights)
