"""Steps, ranks, equipment and cautions in the words that every medium uses."""

from collections.abc import Mapping
from typing import Final

from faultleaf.cards import Caution, Library, Test
from faultleaf.cards.vocabulary import SIGNAL_WORDS
from faultleaf.words.numbers import minutes_text

HAND_ON: Final = "hand-on"
"""The id of handing on among the steps of a call; the engine gives it the same."""
_RANK_WORDS = {
    "owner": "Owner: look only",
    "apprentice": "Apprentice, supervised",
    "technician": "Technician",
    "licensed": "Licensed",
}


def step_words(library: Library, step: str) -> str:
    """What is done at a step of a compiled problem: the title of a test or repair, or handing on.

    An id that the library does not have (a problem file) stands for itself.
    """
    if step == HAND_ON:
        return f"hand on to {library.site.call}"
    if step in library.tests:
        return library.tests[step].title
    feature = step.removeprefix("equipment.")
    if feature != step and feature in library.equipment:
        return library.equipment[feature].asks
    found = library.find_repair(step)
    return step if found is None else found[1].title


def outcome_words(library: Library, step: str, outcome: str) -> str:
    """An outcome as people read it: a test's own words, the title of what is fitted, or how a repair ended."""
    if step in library.tests:
        return library.tests[step].outcomes[outcome]
    feature = library.equipment.get(step.removeprefix("equipment."))
    return feature.values[outcome].title if feature else outcome.replace("-", " ")


def effort_of(test: Test) -> str:
    """Minutes and rank of a test on one line."""
    wait = f", then wait {minutes_text(test.wait)}" if test.wait else ""
    return f"{minutes_text(test.takes)}{wait} · {rank_text(test.who)}"


def equipment_text(library: Library, found_on: Mapping[str, tuple[str, ...]]) -> str:
    """Equipment conditions in words, "" for none."""
    titles = (
        " or ".join(library.equipment[feature].values[value].title for value in values)
        for feature, values in found_on.items()
    )
    return "; ".join(titles)


def graveness(caution: Caution) -> int:
    """What cautions are sorted by, the gravest first."""
    return SIGNAL_WORDS.index(caution.signal)


def rank_text(rank: str) -> str:
    """Who may do a step, in words."""
    return _RANK_WORDS[rank]


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def uncapital(text: str) -> str:
    """The text with its first letter small."""
    return text[:1].lower() + text[1:]
