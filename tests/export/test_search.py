"""export/search.py: every card can be found, by the right words, and no card can break the script."""

import json
import random
from typing import Any

import pytest
from faultleaf.cards import Library
from faultleaf.export.search import LONGEST_TEXT, SearchEntry, search_entries, search_script

from tests.export.sample_cards import FIELDS, TYPES, library, make


def one_of_each() -> Library:
    return library(*(make(kind) for kind in FIELDS))


def entry(found: Library, kind: str) -> SearchEntry:
    return next(each for each in search_entries(found) if each["kind"] == kind)


def read_script(script: str) -> Any:
    """What a browser would read: the script is one assignment of one JSON value."""
    head, tail = "window.faultleafSearch = ", ";\n"
    assert script.startswith(head)
    assert script.endswith(tail)
    return json.loads(script.removeprefix(head).removesuffix(tail))


def test_every_kind_has_an_entry_and_every_variant_a_chart() -> None:
    kinds = [each["kind"] for each in search_entries(one_of_each())]
    assert kinds == [
        "symptom", "chart", "chart", "fault", "component", "test", "proof", "caution", "worksheet", "survey", "term",
        "reading", "picture",
    ]  # fmt: skip


def test_all_kinds_of_card_are_known_here() -> None:
    assert set(FIELDS) == set(TYPES)


def test_addresses_count_from_the_root_of_the_site() -> None:
    urls = {each["kind"]: each["url"] for each in search_entries(one_of_each())}
    assert urls["fault"] == "faults/a-fault.html"
    assert urls["caution"] == "cautions/index.html#a-caution"
    assert urls["chart"] == "charts/a-symptom--fed-with-probe.html"


def test_symptom_is_found_by_what_callers_say() -> None:
    assert entry(one_of_each(), "symptom")["said"] == ("water comes out of the vents", "the glass is full")


def test_fault_is_found_by_part_repair_cue_and_what_it_mostly_shows() -> None:
    fault = entry(one_of_each(), "fault")
    assert fault["shows"] == ("The test: It climbs past the mark",)
    assert fault["parts"] == ("The component", "water line", "fill line")
    assert fault["text"] == "The cold pipe sweats Replace the seat"
    assert fault["said"] == ()


def test_other_names_outcomes_and_looks_are_kept_apart() -> None:
    cards = one_of_each()
    assert entry(cards, "component")["also"] == ("water line", "fill line")
    assert entry(cards, "term")["also"] == ("water mark",)
    assert entry(cards, "test")["shows"] == ("It climbs past the mark", "It stays at the mark")
    assert entry(cards, "test")["text"] == "Does the water climb? A passing valve must lift it"
    assert entry(cards, "proof")["shows"] == ("After an hour: level at the tape",)
    assert entry(cards, "worksheet")["shows"] == ("Height of water", "Pressure below it")
    assert entry(cards, "caution")["text"] == "Scalding water burns the skin Let it cool"


def test_chart_carries_symptom_and_variant_in_its_title() -> None:
    charts = [each for each in search_entries(one_of_each()) if each["kind"] == "chart"]
    assert [each["title"] for each in charts] == ["The symptom: fed by hand", "The symptom: fed, with probe"]


def test_emergency_has_no_chart_to_find() -> None:
    found = search_entries(library(make("symptom", emergency="yes")))
    assert [each["kind"] for each in found] == ["symptom"]


def test_component_under_a_former_id_is_still_found() -> None:
    renamed = make("component", name="new-name", title="Water feeder", formerly=["a-component"])
    assert entry(library(make("fault", shows={}), renamed), "fault")["parts"][0] == "Water feeder"


def test_body_is_plain_words_without_marks_and_short() -> None:
    body = "The **valve** at the [feeder](../components/a.md) &amp; strainer\n\n1. passes\n\n" + "water " * 99
    text = entry(library(make("component", body=body)), "component")["text"]
    assert text.startswith("The valve at the feeder & strainer passes water")
    assert text.endswith("water…")
    assert len(text) <= LONGEST_TEXT


def test_same_library_gives_the_same_bytes_whatever_the_order_of_cards() -> None:
    cards = [make(kind, name=f"{kind}-{i}") for kind in FIELDS for i in range(3)]
    shuffled = random.Random(7).sample(cards, len(cards))
    assert search_script(library(*cards)) == search_script(library(*shuffled))


def test_script_holds_what_the_entries_hold() -> None:
    data = read_script(search_script(one_of_each()))
    assert data["version"] == 2
    assert data["entries"] == json.loads(json.dumps(search_entries(one_of_each())))


def test_empty_library_gives_a_script_without_entries() -> None:
    empty: dict[str, Any] = {"notions": {}, "equipment": [], "findings": []}
    assert read_script(search_script(library())) == {"version": 2, "hearing": empty, "entries": []}


@pytest.mark.parametrize(
    "title",
    [
        "</script><script>alert(1)</script>",
        "<!-- <script>",
        '"]};alert(1)//',
        "\\",
        "\\u003c/script>",
        "' onload='x",
        "שלום valve",
        "½ psi — ° ×",
        "\\</script>",
    ],
)
def test_no_title_breaks_out_of_the_script(title: str) -> None:
    script = search_script(library(make("term", title=title)))
    assert "<" not in script
    assert script.isascii()
    assert script.count("\n") == 3
    assert read_script(script)["entries"][0]["title"] == title


def test_line_separators_are_escaped() -> None:
    # These two end a line in old JavaScript, so a raw one would end the string it stands in. The card
    # models refuse them; the script does not rely on that.
    card = make("term").model_copy(update={"title": "one\u2028two\u2029three"})
    script = search_script(library(card))
    assert "one\\u2028two\\u2029three" in script
    assert script.count("\n") == len(script.splitlines()) == 3
