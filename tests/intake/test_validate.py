"""intake/validate.py: what can be saved of a broken card is everything that is not broken."""

from pathlib import Path
from typing import Any

import pytest
from faultleaf.cards import Card, Origin, Reference
from faultleaf.intake.folder import FOLDERS
from faultleaf.intake.front import parse_card
from faultleaf.intake.validate import field_names, salvage, validate

from tests.intake.cases import SOUND

SOUND_CARDS = tuple(sorted(SOUND.glob("*/*.md")))
BROKEN: tuple[Any, ...] = ([["?"]], {"?": {"?": ["?"]}}, "<?>")


def parsed(path: Path) -> tuple[type[Card], dict[str, Any]]:
    """The type of a sound card, and its fields as they were written."""
    data = parse_card(path.name, path.read_bytes()).data
    assert data is not None
    return FOLDERS[path.parent.name], data


def names_in(card: Card) -> list[Reference]:
    """What the card names; blanks are what could not be saved."""
    return [reference for reference in card.references() if reference.target]


@pytest.mark.parametrize("path", SOUND_CARDS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_of_a_sound_card_everything_is_saved(path: Path) -> None:
    card_type, data = parsed(path)
    card, mistakes = validate(card_type, data, Origin(path.name), filled={"id": path.stem})
    assert card is not None
    assert mistakes == []
    assert names_in(salvage(card_type, data)) == names_in(card)


@pytest.mark.parametrize("path", SOUND_CARDS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_broken_field_costs_only_its_own_names(path: Path) -> None:
    card_type, data = parsed(path)
    whole = names_in(salvage(card_type, data))
    for field in data:
        for broken in BROKEN:
            saved = names_in(salvage(card_type, {**data, field: broken}))
            assert [each for each in saved if each.loc[0] != field] == [each for each in whole if each.loc[0] != field]


def test_a_broken_entry_or_item_costs_only_itself() -> None:
    data = {
        "title": "T", "component": "c", "how_common": "often?",
        "symptoms": {"a": "2", "b": "often"},
        "cautions": ["one", "T W O", "three"],
        "repairs": [{"title": "R", "takes": "5", "proof": "p"}, {"proof": "q", "cautions": ["four"]}],
    }  # fmt: skip
    assert names_in(salvage(FOLDERS["faults"], data)) == [
        Reference(("component",), "component", "c"),
        Reference(("symptoms", "b"), "symptom", "b"),
        Reference(("repairs", 0, "proof"), "proof", "p"),
        Reference(("repairs", 1, "proof"), "proof", "q"),
        Reference(("repairs", 1, "cautions", 0), "caution", "four"),
        Reference(("cautions", 0), "caution", "one"),
        Reference(("cautions", 2), "caution", "three"),
    ]


@pytest.mark.parametrize("card_type", FOLDERS.values(), ids=lambda card_type: card_type.kind)
def test_of_nothing_nothing_is_saved(card_type: type[Card]) -> None:
    assert names_in(salvage(card_type, {})) == []


@pytest.mark.parametrize("card_type", FOLDERS.values(), ids=lambda card_type: card_type.kind)
def test_authors_never_write_what_intake_fills_in(card_type: type[Card]) -> None:
    assert not {"id", "body"} & set(field_names(card_type))
    assert "title" in field_names(card_type)
