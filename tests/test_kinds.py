"""A kind of card is one class, one skeleton, one page; a field says in its type which cards it names."""

from pathlib import Path
from typing import Any, get_args

import pytest
from faultleaf.cards import CARD_TYPES, Card, SiteValues, card_url
from faultleaf.cards.names import Names, OutcomesThere, kind_named, models_in, references_in
from faultleaf.cards.settings import Feature
from faultleaf.cards.values import Choices, Shown, Slug
from faultleaf.cli.skeletons import skeleton
from faultleaf.export import card_schemas, search_entries
from faultleaf.pages.site import MAKERS
from pydantic import BaseModel

from tests.library import LEAST, SETTINGS, make_library
from tests.pages.samples import pages_of

KINDS = {card_type.kind: card_type for card_type in CARD_TYPES}
OWN_NAMES = {
    "Card.formerly", "Fault.modes", "Measurement.limits", "Short.outcomes", "Survey.asks", "Survey.checks",
    "Survey.radiation",
    "SurveyCheck.result", "Test.also_said", "Test.outcomes", "Test.stops", "Test.renews",
    "Worksheet.inputs", "Worksheet.results",
    "WaitFrom.given", "WaitFrom.result", "WorkedOut.decides", "WorkedOut.given", "WorkedOut.reads",
    "Example.given", "Example.gives", "Feature.values", "Caution.harms", "Test.measures",
}  # fmt: skip
"""Fields whose ids are the card's own (its outcomes, inputs, earlier ids), not other cards'."""


def test_every_kind_has_its_pages_its_least_card_and_its_skeleton() -> None:
    assert set(MAKERS) == set(CARD_TYPES)
    assert set(LEAST) == {card_type.folder for card_type in CARD_TYPES}
    assert len(KINDS) == len({card_type.folder for card_type in CARD_TYPES}) == len(CARD_TYPES)
    assert not set(SETTINGS) & {card_type.folder for card_type in CARD_TYPES}
    for card_type in CARD_TYPES:
        assert skeleton(card_type, "A title").startswith('---\ntitle: "A title"\n')
        assert f"{card_type.kind}.schema.json" in card_schemas()


@pytest.mark.parametrize("kind", KINDS)
def test_a_card_of_each_kind_is_found_and_has_its_page(kind: str, tmp_path: Path) -> None:
    name = f"{KINDS[kind].folder}/one"
    library = make_library(tmp_path, {name: {}, "components/part": {}, "pictures/glass.svg": "<svg/>"})
    card = library.cards[(kind, "one")]
    path, _, anchor = card_url(card).partition("#")
    page = pages_of(library)[path]
    assert card.title in page.html
    assert not anchor or f'id="{anchor}"' in page.html
    assert card_url(card) in [each["url"] for each in search_entries(library) if each["kind"] == kind]


TOPS: tuple[type[BaseModel], ...] = (*CARD_TYPES, Feature, SiteValues, Card)


def models() -> dict[str, type[Any]]:
    """Every model that an author fills in, by name."""
    return {model.__name__: model for top in TOPS for model in models_in(top)}


def test_every_id_in_a_field_names_a_kind_of_card_or_is_the_cards_own() -> None:
    """Nobody can add a field of ids that intake does not check."""
    plain = [get_args(kind)[1] for kind in (Slug, Choices, Shown)]
    unmarked = set()
    for model in models().values():
        for field, info in model.model_fields.items():
            seen = list(_marks(info.annotation)) + list(info.metadata)
            ids = any(mark is known for mark in seen for known in plain)
            if ids and not any(isinstance(mark, Names | OutcomesThere) for mark in seen):
                above = [each for each in model.__mro__ if field in getattr(each, "model_fields", ())]
                owner = above[-1].__name__
                unmarked.add(f"{owner}.{field}")
    assert unmarked <= OWN_NAMES, sorted(unmarked - OWN_NAMES)
    known = {*KINDS, "equipment", "source", "card", "step", "where", "basis"}
    named = {kind_named(model, field)[0] for model in models().values() for field in model.model_fields}
    assert named - {""} <= known


def _marks(kind: Any) -> list[Any]:
    found = list(getattr(kind, "__metadata__", ()))
    return found + [mark for part in get_args(kind) if not isinstance(part, str) for mark in _marks(part)]


def test_names_are_found_at_any_depth_with_their_places(tmp_path: Path) -> None:
    library = make_library(tmp_path, {
        "equipment": {"feed": {"title": "Feed", "asks": "Which?", "basis": "source book",
                               "values": {"hand": {"title": "By hand", "share": "0.5"},
                                          "auto": {"title": "Automatic", "share": "0.5"}}}},
        "sources": {"book": {"title": "A book", "by": "A body", "year": "1999", "seen": "from memory"}},
        "symptoms/floods": {"variants": {"by hand": {"feed": "hand"}}},
        "tests/hold": {"otherwise_on": {"feed=hand": "seen"}, "renews": {"look": {"seen": "unseen"}}},
        "tests/look": {},
        "faults/valve": {"symptoms": {"floods": "often"}, "shows_on": {"floods": {"feed": ["hand", "auto"]}},
                         "shows": {"hold": "seen"}, "basis_of": {"shows": "source book"}},
    })  # fmt: skip
    found = [one for card in library.cards.values() for one in card.references()]
    said = {(one.loc, one.kind, one.target, one.outcomes) for one in found}
    assert said >= {
        (("variants", "by hand", "feed"), "equipment", "feed", ("hand",)),
        (("otherwise_on", "feed=hand"), "equipment", "feed", ("hand",)),
        (("renews", "look"), "test", "look", ("unseen",)),
        (("shows_on", "floods"), "symptom", "floods", ()),
        (("shows_on", "floods", "feed"), "equipment", "feed", ("hand", "auto")),
        (("shows", "hold"), "test", "hold", ("seen",)),
        (("basis_of", "shows"), "source", "book", ()),
        (("component",), "component", "part", ()),
    }
    (basis,) = references_in(library.equipment["feed"], ("feed",))
    assert (basis.loc, basis.kind, basis.target) == (("feed", "basis"), "source", "book")
