"""Where a card's page stands, relative to the site's root."""

import posixpath
from collections.abc import Mapping
from typing import Final
from urllib.parse import urlsplit

from faultleaf.cards.models import CARD_TYPES, Card, Fault, Picture, Symptom

CAUTIONS_PAGE = "cautions/index.html"
TERMS_PAGE = "terms/index.html"
CALL_PAGE = "work-the-call.html"
LEDGER_PAGE = "water-ledger.html"
PLANT_PAGE = "the-plant.html"
_FOLDERS: Final = {card_type.folder for card_type in CARD_TYPES}
_SHARED_PAGES: Final = {"cautions": CAUTIONS_PAGE, "terms": TERMS_PAGE}


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


def picture_url(picture: Picture) -> str:
    """The address of a picture's file: under its card's id, since cards in different folders may name files alike."""
    return f"{picture.folder}/{picture.id}{posixpath.splitext(picture.file)[1].lower()}"


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


def safe_card_url(paper: str) -> str:
    """Where the page of all stops lies, for that paper."""
    return f"sheets/make-safe-{paper}.pdf"


def book_url(paper: str) -> str:
    """The address of the field book, all sheets in one PDF, on that paper."""
    return f"sheets/field-book-{paper}.pdf"


def causes_url(symptom: Symptom) -> str:
    """The address of the page that lists every cause of the symptom and every test that speaks of one."""
    return f"causes/{symptom.id}.html"


def repair_url(fault: Fault) -> str:
    """The address of the page that tells how the fault is repaired, and how that is proved."""
    return f"repairs/{fault.id}.html"


def graph_url(symptom: Symptom) -> str:
    """The address of the page that draws the symptom's graph."""
    return f"graphs/{symptom.id}.html"


def text_url(address: str, folder: str, base: str) -> str:
    """Where a link of a card's text leads from a page that reaches the site's root by `base`.

    A link to a card's file, relative to the card's folder, leads to that card's page.

    >>> text_url("../cautions/scald.md", "faults", "../"), text_url("https://example.org/a.md", "faults", "../")
    ('../cautions/index.html#scald', 'https://example.org/a.md')
    """
    parts = urlsplit(address)
    if parts.scheme or not parts.path.endswith(".md"):
        return address
    file = posixpath.normpath(posixpath.join(folder, parts.path)).removesuffix(".md")
    # Cards may lie in folders within their kind's folder; their pages do not.
    kind, name = file.split("/", maxsplit=1)[0], file.rpartition("/")[2]
    if kind in _SHARED_PAGES and kind != file:
        return f"{base}{_SHARED_PAGES[kind]}#{name}"
    page = f"{kind}/{name}.html" if kind in _FOLDERS and kind != file else f"{file}.html"
    return f"{base}{page}#{parts.fragment}" if parts.fragment else base + page
