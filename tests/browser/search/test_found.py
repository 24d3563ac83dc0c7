"""What the search finds, and in which order."""

import random

import pytest
from selenium.webdriver import Chrome

from tests.browser.search.search_page import (
    find,
    ids,
    small_library,
    why,
)


def test_callers_sentence_leads_to_the_symptom_said_nearest(page: Chrome) -> None:
    found = find(page, "water is coming out of my radiator vents")
    assert found[0]["entry"]["id"] == "boiler-overfills"
    assert found[0]["why"]["field"] == "said"
    assert why(found[0]) == "[water] [comes] [out] of the [radiator] [vents]"


def test_what_shares_only_a_common_word_is_left_out(page: Chrome) -> None:
    assert ids(page, "water is coming out of my radiator vents") == ["boiler-overfills", "vents-spit"]
    assert len(ids(page, "water")) > 4


def test_title_that_says_it_all_needs_no_explanation(page: Chrome) -> None:
    found = {each["entry"]["id"]: each for each in find(page, "gauge glass passages")}
    assert found["glass-passages-plugged"]["why"] is None
    assert why(find(page, "full glass")[0]) == "the [glass] is [full] to the top"


def test_every_saying_leads_first_to_the_symptom_that_owns_it(page: Chrome) -> None:
    for card in small_library().symptoms.values():
        for said in card.also_said:
            assert ids(page, said)[0] == card.id


@pytest.mark.parametrize("slip", ["guage glas", "gague glass", "gauge glss", "GAUGE-GLASS", "gaúge glass"])
def test_slips_of_spelling_are_forgiven(page: Chrome, slip: str) -> None:
    assert set(ids(page, slip)[:4]) == {
        "gauge-glass", "glass-misleads", "glass-passages-plugged", "glass-blowdown",
    }  # fmt: skip


def test_other_forms_of_a_word_are_the_same_word(page: Chrome) -> None:
    for form in ("flood", "floods", "flooded", "flooding"):
        assert ids(page, form) == ["feeder-valve-passing"]


def test_results_stay_while_a_word_is_being_typed(page: Chrome) -> None:
    for length in range(4, len("flooding") + 1):
        assert "feeder-valve-passing" in ids(page, "flooding"[:length])


def test_a_letter_too_few_or_wrong_is_forgiven_and_two_in_a_long_word(page: Chrome) -> None:
    assert ids(page, "feedr")[0] == "water-feeder"
    assert ids(page, "misleeds") == ["glass-misleads"]
    assert "glass-blowdown" in ids(page, "slugishlly")


def test_known_word_is_not_taken_for_its_neighbour(page: Chrome) -> None:
    # "full" and "fill" are both words of the cards, one letter apart.
    assert ids(page, "full") == ["boiler-overfills"]
    # "power" is one letter from "lower" and two from "water"; the cards know it, so no slip is assumed.
    assert set(ids(page, "power")) == {"feeder-hold", "feeder-valve-passing"}


def test_outcome_words_lead_to_the_test_and_to_what_shows_it(page: Chrome) -> None:
    found = {each["entry"]["id"]: each for each in find(page, "comes back sluggishly")}
    assert set(list(found)[:2]) == {"glass-passages-plugged", "glass-blowdown"}
    assert why(found["glass-blowdown"]) == "It [comes] [back] [sluggishly]"
    assert why(found["glass-passages-plugged"]).startswith("Blow down the gauge glass: It [comes] [back]")


def test_component_and_its_other_names_are_found(page: Chrome) -> None:
    assert ids(page, "water feeder")[0] == "water-feeder"
    assert ids(page, "sight glass")[0] == "gauge-glass"
    assert "bypass-open" in ids(page, "automatic fill")


def test_exact_name_comes_before_longer_titles_that_hold_it(page: Chrome) -> None:
    assert ids(page, "gauge glass")[0] == "gauge-glass"
    assert ids(page, "guage glas")[0] == "gauge-glass"


def test_symptom_before_fault_before_test_for_an_equal_match(page: Chrome) -> None:
    assert ids(page, "wobble") == ["wobble-s", "wobble-f", "wobble-t"]


@pytest.mark.parametrize("text", ["", "   ", "the and of is", "I'm", "?!", "<>", "\u200b\u202e", "qzxqzx"])
def test_nothing_to_find_is_an_empty_answer(page: Chrome, text: str) -> None:
    assert find(page, text) == []


def test_invisible_and_right_to_left_marks_do_not_hide_a_word(page: Chrome) -> None:
    assert ids(page, "\u202egauge\u202c gl\u200bass") == ids(page, "gauge glass")


def test_repeating_a_word_changes_nothing(page: Chrome) -> None:
    assert find(page, "water " * 80) == find(page, "water")


def test_long_text_is_read_up_to_its_limit(page: Chrome) -> None:
    # 500 characters: the last word inside is read, the first one beyond is not.
    assert ids(page, "x" * 490 + " skimming")[0] == "skim"
    assert ids(page, "x" * 500 + " skimming") == []
    assert ids(page, "x" * 500) == []


def test_limit_cuts_the_tail_and_not_the_head(page: Chrome) -> None:
    assert find(page, "glass", 2) == find(page, "glass", 50)[:2]
    assert len(find(page, "glass", 50)) > 2


def test_pieces_join_to_the_text_for_any_question(page: Chrome) -> None:
    rng = random.Random(20261125)
    bits = ["water", "glass", "vent", "<img src=x>", '"', "'", "&amp;", "שלום", "\u202e", "\ud83d\ude00", "½",
            "__proto__", "constructor", "\\", "${1}", "a" * 90, "%00", "\u0000", " "]  # fmt: skip
    script = """const search = globalThis.faultleaf.search;
        const index = search.build(window.faultleafSearch.entries);
        const joined = (pieces) => pieces.map((piece) => piece.text).join("");
        return arguments[0].flatMap((text) => search.find(index, text)).filter(({entry, title, why}) =>
            joined(title) !== entry.title
            || (why && ![entry[why.field]].flat().includes(joined(why.pieces)))).length;"""
    questions = ["".join(rng.choices(bits, k=rng.randint(1, 8))) for _ in range(200)]
    assert page.execute_script(script, questions) == 0
    assert any(find(page, question) for question in questions)


def test_known_word_finds_only_what_a_plain_look_through_finds(page: Chrome) -> None:
    # The slow twin: stem every word of every entry, keep the entries where one begins like the question.
    script = """const stem = faultleafStemmer, fields = ["title", "said", "also", "shows", "parts", "text"];
        const words = (text) => text.toLowerCase().replace(/'/g, "").match(/[a-z0-9]+/g) || [];
        const of = (entry) => fields.flatMap((name) => [entry[name]].flat()).flatMap(words);
        return window.faultleafSearch.entries
            .filter((entry) => of(entry).some((word) => stem(word).startsWith(stem(arguments[0]))))
            .map((entry) => entry.id);"""
    for word in ("water", "glass", "vents", "feeder", "comes", "mark", "skimming", "boiler", "scalding"):
        found = {each["entry"]["id"] for each in find(page, word, 100)}
        assert found
        assert found <= set(page.execute_script(script, word))


def test_stemmer_is_porters(page: Chrome) -> None:
    # Examples of steps 1 to 5 in M. F. Porter, "An algorithm for suffix stripping", Program 14 (1980),
    # quoted from memory, carried through all steps.
    pairs = {
        "caresses": "caress", "ponies": "poni", "cats": "cat", "feed": "feed", "plastered": "plaster",
        "motoring": "motor", "sing": "sing", "sized": "size", "hopping": "hop", "falling": "fall",
        "hissing": "hiss", "failing": "fail", "filing": "file", "happy": "happi", "sky": "sky",
        "relational": "relat", "hopefulness": "hope", "goodness": "good", "adjustment": "adjust",
        "adoption": "adopt", "controlling": "control", "rate": "rate", "cease": "ceas",
    }  # fmt: skip
    stems = page.execute_script("return arguments[0].map((word) => faultleafStemmer(word))", list(pairs))
    assert dict(zip(pairs, stems, strict=True)) == pairs


def test_thousand_entries_build_and_each_is_found_by_its_own_word(page: Chrome) -> None:
    script = """const name = (i) => "q" + String(i).split("").map((digit) => "bcdfghjklm"[digit]).join("");
        const entries = Array.from({length: 1000}, (_, i) => ({
            id: "e" + i, kind: ["symptom", "fault", "test"][i % 3], url: "x.html", text: "Plain words.",
            title: "Valve " + name(i), said: ["water by the valve " + name(i)], also: [], shows: []}));
        const index = faultleaf.search.build(entries);
        return entries.filter((entry, i) => i % 25 === 0
            && faultleaf.search.find(index, "water at " + name(i))[0].entry !== entry).length;"""
    assert page.execute_script(script) == 0
