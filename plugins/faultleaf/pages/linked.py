"""Tests and worksheets, each shown on the other's page: which result means which outcome, where a wait comes from."""

from dataclasses import dataclass

from faultleaf.cards import Library, Test, Worksheet
from faultleaf.cards.measuring import WorkedOut, rounded_wait
from faultleaf.pages.common import Link, link_to
from faultleaf.physics import unit_named
from faultleaf.words import limits_text, minutes_text, uncapital, wait_words


@dataclass(frozen=True)
class Decision:
    """What a worksheet's result means at a test: the result, its range in words, the outcome in words."""

    result: str
    range: str
    outcome: str


@dataclass(frozen=True)
class WorkedView:
    """One card, a worksheet on a test's page or a test on a worksheet's, and what its results decide."""

    card: Link
    decisions: tuple[Decision, ...]


@dataclass(frozen=True)
class WaitView:
    """Where a test's wait comes from: the worksheet or the test, and what is reckoned there."""

    card: Link
    words: str


def worked_views(library: Library, test: Test) -> tuple[WorkedView, ...]:
    """The worksheets that work a test's outcome out."""
    cards = ((library.worksheets[one.worksheet], one) for one in test.works_out)
    return tuple(WorkedView(link_to(card, card.answers), _decisions(card, test, one)) for card, one in cards)


def served_views(library: Library, card: Worksheet) -> tuple[WorkedView, ...]:
    """The tests whose outcome a worksheet works out."""
    pairs = [(test, one) for test in library.tests.values() for one in test.works_out if one.worksheet == card.id]
    return tuple(WorkedView(link_to(test, test.asks), _decisions(card, test, one)) for test, one in pairs)


def wait_view(library: Library, test: Test) -> WaitView | None:
    """Where a test's wait comes from, None where nobody reckons it."""
    if test.wait_from is None:
        return None
    card = library.worksheets[test.wait_from.worksheet]
    return WaitView(link_to(card), _wait_words(card, test))


def served_waits(library: Library, card: Worksheet) -> tuple[WaitView, ...]:
    """The tests whose wait comes from a worksheet."""
    tests = [one for one in library.tests.values() if one.wait_from and one.wait_from.worksheet == card.id]
    return tuple(WaitView(link_to(test), _wait_words(card, test)) for test in tests)


def _wait_words(card: Worksheet, test: Test) -> str:
    assert test.wait_from is not None
    words, wait = wait_words(card, test.wait_from), minutes_text(test.wait)
    if test.wait == rounded_wait(card, test.wait_from):
        return f"{words}. Rounded up to {wait}"
    return f"{words}. The test waits {wait}, as its own card says"


def _decisions(card: Worksheet, test: Test, one: WorkedOut) -> tuple[Decision, ...]:
    rows = []
    for name, limits in one.decides.items():
        result = card.results[name]
        for outcome in sorted(limits, key=lambda name: limits[name]):
            text = limits_text(limits, outcome, unit_named(result.unit).label).strip()
            rows.append(Decision(uncapital(result.title), text, test.outcomes[outcome]))
    return tuple(rows)
