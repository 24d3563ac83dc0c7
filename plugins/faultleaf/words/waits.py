"""Where a test's wait comes from, in words: on its page, its worksheet's, and at the call."""

from faultleaf.cards import Worksheet
from faultleaf.cards.measuring import WaitFrom, wait_minutes
from faultleaf.physics import unit_named
from faultleaf.words.numbers import minutes_text


def wait_words(card: Worksheet, wanted: WaitFrom) -> str:
    """What the worksheet says of the wait, and with which inputs of the test's card."""
    given = (f"{_lower(card.inputs[name].title)} {_with_unit(card, name, text)}" for name, text in wanted.given.items())
    result = f"{_lower(card.results[wanted.result].title)} {minutes_text(wait_minutes(card, wanted))}"
    return f"{result}, for: {'; '.join(given)}" if wanted.given else result


def _lower(title: str) -> str:
    return title[0].lower() + title[1:]


def _with_unit(card: Worksheet, name: str, text: str) -> str:
    says_unit = any(letter.isalpha() for letter in text)
    return text if says_unit else f"{text} {unit_named(card.inputs[name].unit).label}".rstrip()
