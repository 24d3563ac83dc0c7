"""Letters of cards that the font of charts and sheets cannot print."""

import unicodedata
from collections.abc import Iterator, Set
from typing import Any

from faultleaf.cards import Card, Library, Mistake, Origin
from faultleaf.cards.mistakes import Loc, dotted, quoted
from faultleaf.cards.text import words_of
from faultleaf.layout import FontMetrics, clean_text

HINT = "Charts and sheets show an empty box for it; write it otherwise."


def unprintable(library: Library, metrics: FontMetrics) -> Iterator[Mistake]:
    """A warning for each field with a letter that the font lacks: pages show it, paper cannot."""
    known = metrics.regular.advances.keys() & metrics.bold.advances.keys()
    for key, origin in library.origins.items():
        for loc, line, text in _texts(library.cards[key], origin) if key in library.cards else ():
            if missing := _missing(text, known):
                named = ", ".join(f"{quoted(letter)} ({unicodedata.name(letter, 'no name')})" for letter in missing)
                message = f"the font of sheets lacks {named}"
                yield Mistake(origin.path, line, dotted(loc), message, HINT, "unprintable-letter", "warning")


def _missing(text: str, known: Set[int]) -> list[str]:
    return sorted({letter for letter in clean_text(text) if ord(letter) not in known})


def _texts(card: Card, origin: Origin) -> Iterator[tuple[Loc, int, str]]:
    """Every text of a card with its place and line; of the sections the text below their headings."""
    for loc, text in _within(card.model_dump(exclude={"id", "body"}), ()):
        yield loc, origin.line_of(loc), text
    for section in card.body.sections:
        yield ("body",), section.line, words_of(section.text)


def _within(value: Any, loc: Loc) -> Iterator[tuple[Loc, str]]:
    if isinstance(value, str):
        yield loc, value
    elif isinstance(value, dict):
        for key, one in value.items():
            yield from _within(one, (*loc, key))
    elif isinstance(value, list | tuple):
        for place, one in enumerate(value):
            yield from _within(one, (*loc, place))
