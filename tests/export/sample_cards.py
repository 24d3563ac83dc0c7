"""Small valid cards of every kind, for tests that need a library but no folder of files."""

from typing import Any

from faultleaf.cards import CARD_TYPES, Body, Card, Library, Section

from tests.texts import text_of

REPAIR = {"title": "Replace the seat", "takes": "20 min", "proof": "one-hour-hold"}
FIELDS: dict[str, dict[str, Any]] = {
    "symptom": {
        "also_said": ["water comes out of the vents", "the glass is full"],
        "variants": {"fed by hand": {"water-feed": "manual"}, "fed, with probe": {"water-feed": "automatic"}},
    },
    "fault": {
        "component": "a-component",
        "how_common": "common",
        "shows": {"a-test": {"rises": "usually", "steady": "0.15"}},
        "cue": "The cold pipe sweats",
        "repair": REPAIR,
    },
    "component": {"also_called": ["water line", "fill line"]},
    "test": {
        "asks": "Does the water climb?",
        "outcomes": {"rises": "It climbs past the mark", "steady": "It stays at the mark"},
        "takes": "5 min",
        "why": "A passing valve must lift it",
    },
    "proof": {"takes": "5 min", "looks": [{"when": "After an hour", "see": "level at the tape"}],
              "holds_when": "The level has not moved"},
    "caution": {"signal": "warning", "hazard": "Scalding water", "consequence": "burns the skin",
                "avoid": "Let it cool", "rule": "common practice, no source"},
    "worksheet": {"answers": "How hard does it press?",
                  "inputs": {"head": {"title": "Height of water", "unit": "in", "where": "Tape it"}},
                  "results": {"twice": {"title": "Pressure below it", "unit": "in", "sum": "2 * head"}}},
    "survey": {"asks": {"edr": {"title": "Radiation", "group": "Radiators", "where": "Count", "unit": "EDR"}},
               "radiation": "edr"},
    "term": {"means": "The height at which the boiler is meant to be filled", "also_called": ["water mark"]},
    "reading": {"steps": [{"read": "faults/a-fault", "because": "it is the most common"}]},
    "picture": {"file": "glass.svg", "alt": "A gauge glass", "credit": "us", "licence": "MIT"},
}  # fmt: skip
TYPES = {card_type.kind: card_type for card_type in CARD_TYPES}


def make(kind: str, name: str = "", title: str = "", body: str = "", **more: Any) -> Card:
    """A card of this kind: the fields above, with `more` laid over them; `body` is its only section."""
    sections = (Section("", text_of(body), 1),) if body else ()
    fields = {**FIELDS[kind], **more}
    name = name or f"a-{kind}"
    return TYPES[kind].model_validate({"id": name, "title": title or f"The {kind}", "body": Body(sections), **fields})


def library(*cards: Card) -> Library:
    """A library of just these cards."""
    return Library(cards={(card.kind, card.id): card for card in cards})
