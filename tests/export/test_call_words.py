"""export/call_words.py and trees.py: everything the page says of a card, and no card can break the scripts or the page.

That the page shows it is tested in tests/browser/call_page.
"""

import json
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup
from faultleaf.cards import Library
from faultleaf.cards.text import TAGS, Node
from faultleaf.diagnosis import compile_problem
from faultleaf.export.call_words import (
    CALL_VIEW_FILES,
    CALL_WORDS_VERSION,
    call_word_scripts,
    known_faults,
    known_tests,
)
from faultleaf.export.trees import tree_of
from faultleaf.pages.markup import to_html

from tests.browser.call_page.small_site import SMALL
from tests.cli.calls import shipped_library
from tests.export.sample_cards import library as library_of
from tests.export.sample_cards import make
from tests.library import make_library
from tests.site.sites import squeezed
from tests.texts import text_of

SCRIPTS = Path(__file__).resolve().parents[2] / "plugins/faultleaf/assets/js/call-view"


@pytest.fixture
def small(tmp_path: Path) -> Library:
    return make_library(tmp_path, SMALL)


def read_words(library: Library) -> dict[str, Any]:
    """What a browser would read."""
    found = {}
    for file, script in call_word_scripts(library).items():
        name = f"words/{file.removesuffix('.js')}"
        head, tail = f'(window.faultleafData = window.faultleafData || {{}})["{name}"] = ', ";\n"
        assert script.startswith(head)
        assert "<" not in script
        found[name] = json.loads(script.removeprefix(head).removesuffix(tail))
    return found


def texts_of(nodes: list[Any]) -> str:
    """Every text of a tree in order; a link's address is none."""
    parts = []
    for node in nodes:
        if isinstance(node, str):
            parts.append(node)
        else:
            parts.append(texts_of(node[2:] if node[0] == "a" else node[1:]))
    return "".join(parts)


def addresses_of(nodes: list[Any]) -> list[str]:
    inner = [node for node in nodes if not isinstance(node, str)]
    own = [node[1] for node in inner if node[0] == "a"]
    return own + [address for node in inner for address in addresses_of(node[2:] if node[0] == "a" else node[1:])]


def test_trees_say_what_the_html_says_in_every_card() -> None:
    # Beautiful Soup is the outside reader.
    library = shipped_library()
    sections = [(card, part) for card in library.cards.values() for part in card.body.sections]
    assert len(sections) > 300
    for card, part in sections:
        html = to_html(part.text, card.folder, "")
        tree, soup = tree_of(part.text, card.folder), BeautifulSoup(html, "html.parser")
        assert squeezed(texts_of(tree)) == squeezed(soup.get_text()), card.id
        assert sorted(addresses_of(tree)) == sorted(str(link["href"]) for link in soup.find_all("a")), card.id


def test_trees_keep_what_is_nested_and_drop_unknown_tags() -> None:
    assert tree_of(text_of("1. a\n   - b\n"), "") == [["ol", ["li", "a", ["ul", ["li", "b"]]]]]
    assert tree_of(("x", Node("script", ("y",)), Node("img", address="z")), "") == ["x", "y"]
    assert tree_of(text_of("a<br>b"), "") == [["p", "a", ["br"], "b"]]
    assert tree_of(text_of("[a](../tests/b.md)"), "faults") == [["p", ["a", "tests/b.html", "a"]]]


def test_the_same_tags_are_known_everywhere() -> None:
    line = next(line for line in (SCRIPTS / "dom.js").read_text(encoding="utf-8").splitlines() if "new Set" in line)
    assert set(line.split('"')[1].split()) == TAGS


def test_every_file_of_the_views_is_loaded_once() -> None:
    assert sorted(CALL_VIEW_FILES) == sorted(path.stem for path in SCRIPTS.glob("*.js"))


def test_words_of_a_symptom_hold_all_that_its_calls_may_meet() -> None:
    library = shipped_library()
    words = read_words(library)
    shared = words["words/shared"]
    assert shared["version"] == CALL_WORDS_VERSION
    for name in library.symptoms:
        own = words[f"words/symptoms/{name}"]
        met = known_faults(library, name)
        assert {fault.id for fault in library.candidates(name)} <= {fault.id for fault in met}
        assert set(own["faults"]) == {fault.id for fault in met}
        assert set(own["repairs"]) == {each for fault in met for each, _ in fault.named_repairs}
        # Whatever a call can do or must show there has its words: the problem of no known equipment offers the most.
        problem = compile_problem(library, [name])
        assert {repair.id for repair in problem.repairs} <= set(own["repairs"])
        allowed = {step for stop in problem.stops for step in stop.allows}
        assert allowed & library.tests.keys() <= set(own["tests"])
        assert {stop.test for stop in problem.stops} <= set(own["tests"])
        assert set(own["tests"]) == set(known_tests(library, name))
        named = [caution for card in (*own["tests"].values(), *own["repairs"].values()) for caution in card["cautions"]]
        assert set(named) <= set(shared["cautions"])
        assert {repair["proof"] for repair in own["repairs"].values()} <= set(shared["proofs"])


def test_every_outcome_that_stops_a_call_is_told_with_its_caution_and_whom_to_call() -> None:
    library = shipped_library()
    told = {(each["test"], each["outcome"]): each for each in read_words(library)["words/shared"]["dangers"]}
    stops = {(test.id, outcome): stop for test in library.tests.values() for outcome, stop in test.stops.items()}
    assert len(stops) >= 6
    assert told.keys() == stops.keys()
    for (test, outcome), each in told.items():
        assert each["title"] == library.tests[test].outcomes[outcome]
        assert each["caution"] == stops[test, outcome].caution
        assert each["call"] == (stops[test, outcome].call or library.site.call)


def test_minutes_of_a_step_are_work_alone() -> None:
    """No wait, no return visit, no proof: what the cards say, and making safe."""
    library = shipped_library()
    for name in library.symptoms:
        own = read_words(library)[f"words/symptoms/{name}"]
        for test, words in own["tests"].items():
            setup = sum(library.cautions[each].setup for each in set(library.tests[test].cautions))
            assert words["minutes"] == pytest.approx(library.tests[test].takes + setup)
        for repair, words in own["repairs"].items():
            found = library.find_repair(repair)
            assert found is not None
            fault, card = found
            setup = sum(library.cautions[each].setup for each in {*fault.cautions, *card.cautions})
            assert words["minutes"] == pytest.approx(card.takes + setup)


def test_tests_bring_those_that_they_wait_for(tmp_path: Path) -> None:
    library = make_library(tmp_path, {
        "symptoms/floods": {}, "faults/valve": {"symptoms": {"floods": "often"}, "shows": {"hold": "seen"}},
        "tests/hold": {"needs": {"mark": "seen"}}, "tests/mark": {"needs": {"look": "seen"}}, "tests/look": {},
        "tests/other": {},
    })  # fmt: skip
    assert known_tests(library, "floods") == ("hold", "look", "mark")


def test_no_card_can_end_the_script() -> None:
    title = "Fills </script><b> over"
    words = read_words(library_of(make("symptom", "floods", title)))
    assert words["words/shared"]["symptoms"]["floods"]["title"] == title


def test_order_of_the_cards_does_not_change_a_byte(small: Library) -> None:
    turned = Library(
        cards=dict(reversed(list(small.cards.items()))), equipment=small.equipment, sources=small.sources,
        site=small.site, origins=small.origins,
    )  # fmt: skip
    assert call_word_scripts(turned) == call_word_scripts(small)
