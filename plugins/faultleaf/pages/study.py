"""The thread of study: which reading lists a card stands on, and what comes before and after it there."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from faultleaf.cards import Card, Library, card_url
from faultleaf.cards.models import CARD_TYPES
from faultleaf.pages.common import Link, link_to
from faultleaf.pages.page import SitePage
from faultleaf.pages.render import render_part


@dataclass(frozen=True)
class Thread:
    """A card's place in one reading list: the card as "folder/id", its number of `count`, its neighbours."""

    card: str
    reading: Link
    number: int
    count: int
    because: str
    before: Link | None
    after: Link | None


Threads = Mapping[str, tuple[Thread, ...]]


def read_card(library: Library, path: str) -> Card:
    """The card that a step of a reading names as "folder/id"."""
    folder, _, name = path.partition("/")
    kind = next(card_type.kind for card_type in CARD_TYPES if card_type.folder == folder)
    return library.cards[(kind, name)]


def threads_of(library: Library) -> Threads:
    """Every card that a reading names ("folder/id") with its places, in the order of the readings."""
    found: dict[str, list[Thread]] = defaultdict(list)
    for reading in library.readings.values():
        links = [link_to(read_card(library, step.read)) for step in reading.steps]
        around = zip([None, *links], reading.steps, [*links[1:], None], strict=False)
        for number, (before, step, after) in enumerate(around, 1):
            thread = Thread(step.read, link_to(reading), number, len(links), step.because, before, after)
            found[step.read].append(thread)
    return {path: tuple(threads) for path, threads in found.items()}


def with_threads(library: Library, pages: Iterable[SitePage]) -> Iterator[SitePage]:
    """The pages, those of cards that a reading names with their threads at the end.

    Cards that share a page with others have theirs beside their own words there.
    """
    threads = threads_of(library)
    of_page = {card_url(read_card(library, path)): each for path, each in threads.items()}
    for page in pages:
        here = of_page.get(page.path)
        yield replace(page, html=page.html + render_part("threads.html", page.path, here)) if here else page
