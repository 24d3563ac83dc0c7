"""cards/library.py and cards/urls.py: look-ups, former ids, addresses."""

from pathlib import Path

from faultleaf.cards import CARD_TYPES, Library, card_url, chart_url, graph_url
from faultleaf.cards.urls import slug

from tests.intake.cases import SOUND
from tests.library import make_library, read


def test_cards_are_found_by_type_and_sorted() -> None:
    library = read(SOUND)
    assert list(library.faults) == ["bypass-open", "valve-passing"]
    by_type = (
        library.symptoms, library.faults, library.components, library.tests, library.proofs, library.cautions,
        library.worksheets, library.surveys, library.terms, library.readings, library.pictures,
    )  # fmt: skip
    for card_type, cards in zip(CARD_TYPES, by_type, strict=True):
        assert cards == library.of_type(card_type)
        assert all(isinstance(card, card_type) and card.id == name for name, card in cards.items())
    assert sum(map(len, by_type)) == len(library.cards)


def test_a_card_is_found_by_its_former_id() -> None:
    library = read(SOUND)
    assert library.find("fault", "bypass-seat-worn") is library.faults["bypass-open"]
    assert library.find("fault", "bypass-open") is library.faults["bypass-open"]
    assert library.find("fault", "gone") is None
    assert library.find("test", "bypass-seat-worn") is None


def test_candidates_are_the_faults_that_name_the_symptom(tmp_path: Path) -> None:
    library = make_library(
        tmp_path, {"symptoms/a": {}, "symptoms/b": {}, "faults/x": {"symptoms": {"a": "often"}}, "faults/y": {}}
    )
    assert [fault.id for fault in library.candidates("a")] == ["x"]
    assert list(library.candidates("b")) == []


def test_an_empty_library_is_a_library() -> None:
    assert (dict(Library().cards), Library().faults, Library().find("fault", "x")) == ({}, {}, None)


def test_every_card_has_an_address_of_its_own() -> None:
    library = read(SOUND)
    addresses = [card_url(card) for card in library.cards.values()]
    assert len(set(addresses)) == len(addresses)
    assert card_url(library.faults["bypass-open"]) == "faults/bypass-open.html"
    assert card_url(library.cautions["scald"]) == "cautions/index.html#scald"
    assert card_url(library.terms["water-line"]) == "terms/index.html#water-line"


def test_charts_and_graphs_have_addresses_too() -> None:
    symptom = read(SOUND).symptoms["overfills"]
    assert chart_url(symptom, "automatic feeder") == "charts/overfills--automatic-feeder.html"
    assert graph_url(symptom) == "graphs/overfills.html"


def test_addresses_hold_plain_characters_only() -> None:
    assert slug(" Größe: 2½ in. (steam) ") == "gr-e-2-in-steam"
    assert slug("水") == ""


def test_all_repairs_and_cautions_stand_once_in_order(tmp_path: Path) -> None:
    repair = {"title": "A", "takes": "1 min", "proof": "p", "cautions": ["d", "c"]}
    library = make_library(
        tmp_path,
        {
            **{f"cautions/{name}": {} for name in "cde"},
            "proofs/p": {},
            "faults/x": {"cautions": ["e", "c"], "repair": repair, "repairs": [{**repair, "title": "B"}]},
        },
    )
    fault = library.faults["x"]
    assert [each.title for each in fault.all_repairs] == ["A", "B"]
    assert fault.all_cautions == ("e", "c", "d")


def test_the_values_behind_the_words_reach_the_card() -> None:
    library = read(SOUND)
    valve, hold = library.faults["valve-passing"], library.tests["hold"]
    assert (valve.how_common, valve.symptoms["overfills"], valve.shows["hold"]) == (4.0, 0.95, {"rises": 0.95})
    assert valve.found_on == {"water-feed": ("automatic",)}
    assert (hold.takes, hold.wait, hold.who) == (5.0, 240.0, "technician")
    assert library.site.return_visit == 60
    assert library.symptoms["overfills"].unlisted == 0.1
