"""Pieces that several pages show: links, caution panels, notices, provenance."""

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from faultleaf.cards import Card, Caution, Library, Symptom, card_url
from faultleaf.cards.models import Numbered
from faultleaf.cards.urls import book_url, safe_card_url, sheet_url
from faultleaf.pages.markup import in_boxes
from faultleaf.pages.page import Heading
from faultleaf.pages.worked import WorkedVariant
from faultleaf.words import (
    capital,
    common_dots,
    common_text,
    graveness,
    minutes_text,
    often_dots,
    often_text,
    share_dots,
    share_text,
    step_words,
)


@dataclass(frozen=True)
class Dots:
    """How often, as `count` of five dots, and in words for who does not see them."""

    count: int
    words: str

    @property
    def full(self) -> str:
        """The path of the dots that count: points, which a round pen makes dots."""
        return "".join(f"M{place} 6h0" for place in _DOT_PLACES[: self.count])

    @property
    def empty(self) -> str:
        """The path of the others."""
        return "".join(f"M{place} 6h0" for place in _DOT_PLACES[self.count :])


_DOT_PLACES = (6, 18, 30, 42, 54)


@dataclass(frozen=True)
class Link:
    """A title that leads to `url` (from the site's root), with an optional remark, and how often."""

    title: str
    url: str
    note: str = ""
    dots: Dots | None = None


@dataclass(frozen=True)
class CautionView:
    """A caution panel."""

    id: str
    key: str
    order: str
    signal: str
    symbol: str
    title: str
    hazard: str
    consequence: str
    avoid: str
    rule: str
    url: str
    setup: str


@dataclass(frozen=True)
class Provenance:
    """Where a card's numbers come from, and when somebody of the trade last read it."""

    basis: str
    exceptions: tuple[tuple[str, str], ...]
    sources: tuple[str, ...]
    reviewed: str


@dataclass(frozen=True)
class Part:
    """A section of a card's own text."""

    heading: Heading
    html: Markup


def link_to(card: Card, note: str = "", dots: Dots | None = None) -> Link:
    """A link to the card's page."""
    return Link(card.title, card_url(card), note, dots)


def often(probability: float) -> Dots:
    """How often, by its probability."""
    return Dots(often_dots(probability), often_text(probability))


def common(rate: float) -> Dots:
    """How common a fault is, by its rate."""
    return Dots(common_dots(rate), common_text(rate))


def share(of_calls: float) -> Dots:
    """The share of such calls."""
    return Dots(share_dots(of_calls), f"{share_text(of_calls)} of such calls")


def sheet_links(symptom: Symptom, variant: WorkedVariant) -> tuple[Link, ...]:
    """The variant's sheets to print, one for each paper."""
    return tuple(Link(capital(paper), sheet_url(symptom, variant.name, paper)) for paper in variant.sheets)


def book_links(variants: Iterable[WorkedVariant]) -> tuple[Link, ...]:
    """The field book on every paper that these variants have a sheet on."""
    return tuple(Link(capital(paper), book_url(paper)) for paper in _papers(variants))


def wall_links(variants: Iterable[WorkedVariant]) -> tuple[Link, ...]:
    """The card to make safe by, for the boiler room's wall, on the same papers."""
    return tuple(Link(capital(paper), safe_card_url(paper)) for paper in _papers(variants))


def _papers(variants: Iterable[WorkedVariant]) -> Iterable[str]:
    return dict.fromkeys(paper for variant in variants for paper in variant.sheets)


def caution_views(library: Library, ids: Iterable[str]) -> tuple[CautionView, ...]:
    """The panels of these cautions, once each, the gravest signal word first, else in order."""
    cautions = [library.cautions[name] for name in dict.fromkeys(ids)]
    cautions.sort(key=graveness)
    return tuple(_caution_view(caution) for caution in cautions)


def by_signal(panels: Iterable[CautionView]) -> tuple[tuple[CautionView, ...], ...]:
    """Panels whose keys stand together in one line, under the gravest signal word of theirs."""
    kept = tuple(panels)
    groups = (tuple(panel for panel in kept if panel.signal in signals) for signals in _TOGETHER)
    return tuple(group for group in groups if group)


_TOGETHER = (("danger",), ("warning", "caution"), ("notice",))


def _caution_view(caution: Caution) -> CautionView:
    return CautionView(
        id=caution.id,
        signal=caution.signal,
        symbol=capital(caution.symbol.replace("-", " ")) if caution.symbol != "general" else "",
        title=caution.title,
        key=caution.key,
        order=caution.order,
        hazard=caution.hazard,
        consequence=caution.consequence,
        avoid=caution.avoid,
        rule=caution.rule,
        url=card_url(caution),
        setup=minutes_text(caution.setup) if caution.setup else "",
    )


def provenance(library: Library, card: Card) -> Provenance:
    """Where the card's numbers come from, in words."""
    basis, exceptions = "", dict[str, str]()
    if isinstance(card, Numbered):
        basis = basis_text(library, card.basis or "")
        exceptions = {field.replace("_", " "): basis_text(library, text) for field, text in card.basis_of.items()}
    named = tuple(source_text(library, name) for name in card.sources)
    return Provenance(basis, tuple(exceptions.items()), named, card.reviewed.isoformat() if card.reviewed else "")


def basis_text(library: Library, basis: str) -> str:
    """A basis in words that a reader understands.

    >>> basis_text(Library(), "judgement")
    'judgement of the trade, common practice, no source'
    """
    kind, _, name = basis.partition(" ")
    if basis == "judgement":
        return "judgement of the trade, common practice, no source"
    if kind == "source":
        return source_text(library, name)
    if kind == "worksheet":
        return f"worksheet: {library.worksheets[name].title}"
    return f"counted, {basis}" if basis else "not stated"


def source_text(library: Library, name: str) -> str:
    """A source on one line: who, title, part, year, and whether it was read."""
    source = library.sources[name]
    parts = [source.by, source.title, source.part, str(source.year) if source.year else None, source.seen]
    return ", ".join(part for part in parts if part)


def parts_of(card: Card, base: str, titles: Iterable[str] | None = None) -> tuple[Part, ...]:
    """The card's sections as HTML: those named, or (None) those that its kind does not know."""
    chosen = (
        [part for part in card.body.sections if part.title and part.title not in card.sections]
        if titles is None
        else [part for title in titles if (part := card.body.section(title))]
    )
    return tuple(
        Part(Heading(heading_id(part.title), part.title), in_boxes(part.text, card.folder, base)) for part in chosen
    )


def lead_of(card: Card, base: str) -> Markup:
    """What stands before the first heading of a card's text."""
    section = card.body.section("")
    return in_boxes(section.text, card.folder, base) if section else Markup()


def heading_id(title: str) -> str:
    """The anchor of a heading."""
    return "-".join("".join(char if char.isalnum() else " " for char in title.lower()).split())


def firm_words(library: Library, variant: WorkedVariant) -> str:
    """Which step comes after the first checks, and how often it still does when the numbers are wrong; "" untried."""
    stable = variant.worth.stability
    if not stable.tries:
        return ""
    step = step_words(library, stable.id)
    return (
        f"After the first checks mostly: {step}. With all numbers made wrong by up to twice or half, it stays the next "
        f"step in {stable.same} of {stable.tries} tries."
    )
