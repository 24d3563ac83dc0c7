"""Where a test's wait comes from, in words: on its page, its worksheet's, and at the call."""

from faultleaf.cards import Worksheet
from faultleaf.cards.measuring import WaitFrom, wait_minutes
from faultleaf.physics import unit_named
from faultleaf.words.numbers import minutes_text
from faultleaf.words.steps import uncapital


def wait_words(card: Worksheet, wanted: WaitFrom) -> str:
    """What the worksheet says of the wait, and with which inputs of the test's card."""
    put_in = wanted.given.items()
    given = (f"{uncapital(card.inputs[name].title)} {_with_unit(card, name, text)}" for name, text in put_in)
    result = f"{uncapital(card.results[wanted.result].title)} {minutes_text(wait_minutes(card, wanted))}"
    return f"{result}, for: {'; '.join(given)}" if wanted.given else result


def _with_unit(card: Worksheet, name: str, text: str) -> str:
    says_unit = any(letter.isalpha() for letter in text)
    return text if says_unit else f"{text} {unit_named(card.inputs[name].unit).label}".rstrip()
