"""Where a card's page stands, relative to the site's root."""

from collections.abc import Mapping

from faultleaf.cards.models import Card, Symptom

CAUTIONS_PAGE = "cautions/index.html"
TERMS_PAGE = "terms/index.html"
CALL_PAGE = "work-the-call.html"
LEDGER_PAGE = "water-ledger.html"


def slug(text: str) -> str:
    """The text as a part of an address: lower case, hyphens, no accents of markup.

    >>> slug("automatic feeder, probe cutoff")
    'automatic-feeder-probe-cutoff'
    """
    kept = "".join(char if char.isalnum() and char.isascii() else " " for char in text.lower())
    return "-".join(kept.split())


def card_url(card: Card) -> str:
    """The address of the card's page; cautions and terms share one page each."""
    if card.kind == "caution":
        return f"{CAUTIONS_PAGE}#{card.id}"
    if card.kind == "term":
        return f"{TERMS_PAGE}#{card.id}"
    return f"{card.folder}/{card.id}.html"


def chart_url(symptom: Symptom, variant: str) -> str:
    """The address of the printable chart of one symptom and variant."""
    return f"charts/{symptom.id}--{slug(variant)}.html"


def call_url(symptom: str, equipment: Mapping[str, str] | None = None) -> str:
    """The address at which a call for this symptom, on this equipment, is worked.

    >>> call_url("boiler-overfills", {"water-feed": "automatic", "boilers": "single"})
    'work-the-call.html#say=boiler-overfills&has=water-feed:automatic,boilers:single'
    """
    has = ",".join(f"{feature}:{value}" for feature, value in (equipment or {}).items())
    return f"{CALL_PAGE}#say={symptom}" + (f"&has={has}" if has else "")


def code_url(symptom: str, variant: str) -> str:
    """The same, short enough for a printed code: the page knows the equipment of each variant.

    >>> code_url("boiler-overfills", "filled by hand")
    'work-the-call.html#say=boiler-overfills&on=filled-by-hand'
    """
    return f"{CALL_PAGE}#say={symptom}&on={slug(variant)}"


def sheet_url(symptom: Symptom, variant: str, paper: str) -> str:
    """The address of the PDF of one symptom and variant, on that paper."""
    return f"sheets/{symptom.id}--{slug(variant)}-{paper}.pdf"


def book_url(paper: str) -> str:
    """The address of the field book, all sheets in one PDF, on that paper."""
    return f"sheets/field-book-{paper}.pdf"


def graph_url(symptom: Symptom) -> str:
    """The address of the page that draws the symptom's graph."""
    return f"graphs/{symptom.id}.html"
