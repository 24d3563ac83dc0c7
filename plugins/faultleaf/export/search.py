"""What the browser's search knows: one entry per card, as a script that assigns one global.

An entry holds the words somebody may look for, kept apart by what they are, so that the browser can
weigh a caller's words above a passing mention and can say why it found something. Headings, notices
and other text that stands on every page are left out: they would make every page an answer.
"""

import json
import textwrap
from collections.abc import Iterator
from typing import Final, TypedDict

from faultleaf.cards import (
    Card,
    Caution,
    Component,
    Fault,
    Library,
    Picture,
    Proof,
    Reading,
    Survey,
    Symptom,
    Term,
    Test,
    Worksheet,
    card_url,
    chart_url,
)  # fmt: skip
from faultleaf.cards.text import words_of
from faultleaf.export.hearing import hearing_data

SEARCH_VERSION: Final = 2
"""Raised when the shape of the data changes; search/box.js reads this version only."""

LONGEST_TEXT: Final = 240
MOSTLY: Final = 0.5
"""A fault is found by an outcome that it shows at least this often."""

KIND_ORDER: Final = (
    "symptom", "chart", "fault", "component", "test", "proof", "caution", "worksheet", "survey", "term", "reading",
    "picture",
)  # fmt: skip


class SearchEntry(TypedDict):
    """One thing that can be found; `url` counts from the site's root."""

    id: str
    kind: str
    title: str
    url: str
    said: tuple[str, ...]
    also: tuple[str, ...]
    shows: tuple[str, ...]
    parts: tuple[str, ...]
    text: str


def search_entries(library: Library) -> tuple[SearchEntry, ...]:
    """Every card, and every symptom's charts, by kind and then id."""
    cards = (_card_entry(card, library) for card in library.cards.values())
    charts = (entry for symptom in library.symptoms.values() for entry in _chart_entries(symptom))
    return tuple(sorted([*cards, *charts], key=lambda entry: (KIND_ORDER.index(entry["kind"]), entry["id"])))


def search_script(library: Library) -> str:
    """The text of search-data.js: plain ASCII, in which no card can end the script or the line.

    One entry stands on each line, so that two builds can be compared.
    """
    lines = ",\n".join(json.dumps(entry, separators=(",", ":")) for entry in search_entries(library))
    heard = json.dumps(hearing_data(library), separators=(",", ":"))
    text = f'{{"version": {SEARCH_VERSION}, "hearing": {heard}, "entries": [\n{lines}\n]}}'
    # Every "<" stands inside a string, where the escape means the same and "</script>" cannot arise.
    safe = text.replace("<", "\\u003c")
    return f"window.faultleafSearch = {safe};\n"


def _entry(card: Card, *, said: tuple[str, ...] = (), also: tuple[str, ...] = (), shows: tuple[str, ...] = (),
           parts: tuple[str, ...] = (), text: tuple[str | None, ...] = ()) -> SearchEntry:  # fmt: skip
    short = _shorten(*text, _opening(card))
    return SearchEntry(id=card.id, kind=card.kind, title=card.title, url=card_url(card),
                       said=said, also=also, shows=shows, parts=parts, text=short)  # fmt: skip


def _card_entry(card: Card, library: Library) -> SearchEntry:
    match card:
        case Symptom():
            entry = _entry(card, said=card.also_said)
        case Fault():
            entry = _fault_entry(card, library)
        case Component():
            entry = _entry(card, also=card.also_called)
        case Term():
            entry = _entry(card, also=card.also_called, text=(card.means,))
        case Test():
            entry = _entry(card, shows=tuple(card.outcomes.values()), text=(card.asks, card.why))
        case Proof():
            looks = tuple(f"{look.when}: {look.see}" for look in card.looks)
            entry = _entry(card, shows=looks, text=(card.holds_when,))
        case Caution():
            seen = tuple(dict.fromkeys(_stopping_outcomes(card, library)))
            entry = _entry(card, shows=seen, text=(card.hazard, card.consequence, card.avoid))
        case Worksheet():
            titles = [each.title for each in card.inputs.values()] + [each.title for each in card.results.values()]
            entry = _entry(card, shows=tuple(titles), text=(card.answers,))
        case Survey():
            entry = _entry(card, shows=tuple(each.title for each in card.asks.values()))
        case Reading():
            entry = _entry(card)
        case Picture():
            entry = _entry(card, text=(card.alt,))
        case _:
            raise TypeError(f"search does not know cards of kind {card.kind}")
    return entry


def _fault_entry(fault: Fault, library: Library) -> SearchEntry:
    part = library.find("component", fault.component)
    parts = (part.title, *part.also_called) if isinstance(part, Component) else ()
    repairs = (repair.title for repair in fault.all_repairs)
    ways = (mode.title for mode in fault.modes.values())
    return _entry(fault, shows=(*_shown(fault, library), *ways), parts=parts, text=(fault.cue, *repairs))


def _stopping_outcomes(caution: Caution, library: Library) -> Iterator[str]:
    """What is seen where this caution stops a call: whoever looks for the sight must find the danger."""
    for test in library.tests.values():
        yield from (test.outcomes[seen] for seen, stop in test.stops.items() if stop.caution == caution.id)


def _shown(fault: Fault, library: Library) -> Iterator[str]:
    """What the fault mostly shows, as "test: outcome" in the cards' words."""
    for name in fault.named_tests:
        test = library.find("test", name)
        if isinstance(test, Test):
            mostly = (test.outcomes[seen] for seen, chance in fault.shown_at(name).items() if chance >= MOSTLY)
            yield from (f"{test.title}: {words}" for words in mostly)


def _chart_entries(symptom: Symptom) -> Iterator[SearchEntry]:
    """One entry for the chart of each variant; an emergency has none."""
    for variant in () if symptom.emergency else symptom.variants:
        url = chart_url(symptom, variant)
        name = url.rpartition("/")[2].removesuffix(".html")
        yield SearchEntry(id=name, kind="chart", title=f"{symptom.title}: {variant}", url=url,
                          said=(), also=(), shows=(), parts=(), text="")  # fmt: skip


def _opening(card: Card) -> str:
    """The words of the card's first section, without marks."""
    return next((words for section in card.body.sections if (words := words_of(section.text))), "")


def _shorten(*texts: str | None) -> str:
    return textwrap.shorten(" ".join(filter(None, texts)), LONGEST_TEXT, placeholder="…")
