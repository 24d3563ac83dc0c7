"""What the browser needs to hear a caller's sentence: the sayings of cards, and words that mean the same.

A symptom's sayings, and the other names of components and terms, stand in the entries of the search already; here is
what else can be heard in a sentence: equipment, what was found, the dangers among it, and the notions of callers.yml.
"""

from typing import Any, Final

from faultleaf.cards import Library, Test, card_url
from faultleaf.export.call_words import known_tests

Data = dict[str, Any]

SEARCH_FILES: Final = ("words", "listen", "pages", "found", "box")
"""The scripts of assets/js/search, in the order of loading."""


def hearing_data(library: Library) -> Data:
    """`notions`, `equipment` and `findings`, each in the order of its ids; what has no sayings is left out."""
    return {
        "notions": {
            name: {"said": notion.said, "elsewhere": notion.elsewhere}
            for name, notion in sorted(library.notions.items())
        },
        "equipment": [
            {"feature": feature.id, "value": name, "title": value.title, "said": value.also_said}
            for _, feature in sorted(library.equipment.items())
            for name, value in feature.values.items()
            if value.also_said
        ],
        "findings": [
            {
                "test": test.id, "outcome": outcome, "title": test.outcomes[outcome], "said": said,
                "at": _symptoms_of(library, test), "danger": _danger(library, test, outcome),
            }
            for test in library.tests.values()
            for outcome, said in test.also_said.items()
        ],
    }  # fmt: skip


def _symptoms_of(library: Library, test: Test) -> list[str]:
    """The symptoms on whose calls it may be entered."""
    asked = test.only_at or tuple(library.symptoms)
    return [name for name in library.symptoms if name in asked and test.id in known_tests(library, name)]


def _danger(library: Library, test: Test, outcome: str) -> Data | None:
    """Of an outcome that stops a call: what to do now, and whom to call; None of any other."""
    stop = test.stops.get(outcome)
    if stop is None:
        return None
    caution = library.cautions[stop.caution]
    return {
        "signal": caution.signal, "title": caution.title, "now": caution.avoid,
        "call": stop.call or library.site.call, "url": card_url(caution),
    }  # fmt: skip
