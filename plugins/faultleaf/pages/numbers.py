"""About the numbers: the scales, how many numbers come from where, the method, and what its answers are worth."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from faultleaf.cards import Library
from faultleaf.cards.models import Numbered
from faultleaf.cards.vocabulary import PROBABILITY_WORDS, RATE_WORDS
from faultleaf.pages.common import Dots, common, often, source_text
from faultleaf.pages.page import Heading, SitePage
from faultleaf.pages.render import render_page
from faultleaf.pages.worked import WorkedSymptom
from faultleaf.pages.worth import Table, worth_tables
from faultleaf.words import DOTS_OF_SHARE, minutes_text, share_text

NUMBERS_PAGE = "about-the-numbers.html"


@dataclass(frozen=True)
class NumbersView:
    """The whole page."""

    words: tuple[tuple[Dots, str], ...]
    rates: tuple[tuple[Dots, str], ...]
    share_scale: str
    counts: tuple[tuple[str, int], ...]
    cards: int
    return_visit: str
    hand_on: str
    telephone: str
    sources: tuple[tuple[str, str, str], ...]
    equipment: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    worth: tuple[Table, ...]


def numbers_page(library: Library, worked: Mapping[str, WorkedSymptom]) -> SitePage:
    """The page about the numbers."""
    counts: Counter[str] = Counter()
    for card in library.cards.values():
        if isinstance(card, Numbered):
            counts[_kind_of_basis(card.basis)] += 1
            counts.update(_kind_of_basis(basis) for basis in card.basis_of.values())
    view = NumbersView(
        words=tuple((often(value), f"{value:g}") for value in PROBABILITY_WORDS.values()),
        rates=tuple((common(value), f"{value:g}") for value in RATE_WORDS.values()),
        share_scale=", ".join(f"{dots} from {share_text(least)}" for dots, least in enumerate(DOTS_OF_SHARE, 2)),
        counts=tuple(sorted(counts.items(), key=lambda item: (-item[1], item[0]))),
        cards=sum(isinstance(card, Numbered) for card in library.cards.values()),
        return_visit=minutes_text(library.site.return_visit),
        hand_on=minutes_text(library.site.hand_on),
        telephone=minutes_text(library.site.telephone_call),
        sources=tuple(
            (name, source_text(library, name), source.note or "") for name, source in library.sources.items()
        ),
        equipment=tuple(
            (feature.title, tuple((value.title, f"{value.share:g}") for value in feature.values.values()))
            for feature in library.equipment.values()
        ),
        worth=worth_tables(library, worked),
    )
    headings = [
        Heading("scales", "The scales"), Heading("where-from", "Where the numbers come from"),
        Heading("method", "The method"), Heading("worth", "What the numbers are worth"),
        Heading("equipment", "Equipment"), Heading("sources", "Sources"),
    ]  # fmt: skip
    return render_page(
        "numbers.html", NUMBERS_PAGE, view, library.site,
        title="About the numbers", description="Scales, provenance and method behind every share and minute.",
        headings=headings,
    )  # fmt: skip


def _kind_of_basis(basis: str | None) -> str:
    if basis is None:
        return "not stated"
    if basis == "judgement":
        return "judgement of the trade, common practice, no source"
    if basis.startswith("source "):
        return "a published source"
    return "a worksheet" if basis.startswith("worksheet ") else "counted on jobs"
