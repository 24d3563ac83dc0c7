"""pages/linked.py: tests and worksheets on each other's pages, and where a wait comes from."""

from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag
from faultleaf.cards import Library
from faultleaf.pages.test import page_of_test
from faultleaf.pages.worksheet import page_of_worksheet

from tests.cli.calls import shipped_library
from tests.library import make_library
from tests.pages.samples import everything


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return everything(tmp_path_factory.mktemp("everything"))


def soup_of(html: str) -> BeautifulSoup:
    return BeautifulSoup(html, "html.parser")


def words(tag: Tag) -> str:
    return " ".join(tag.get_text(" ").split())


def test_a_tests_page_says_which_result_means_which_outcome(library: Library) -> None:
    soup = soup_of(page_of_test(library, library.tests["hold"]).html)
    (section,) = soup.select("section.fl-worked")
    (link,) = section.select("p a")
    assert (link.get_text(), link["href"]) == ("Head", "../worksheets/head.html")
    assert [words(row) for row in section.select("li")] == [
        "It climbs: stands 90 h or more", "It stays: twice under 2 in", "It climbs: twice 2 in or more",
    ]  # fmt: skip
    assert soup.select_one("#work-it-out") is not None


def test_a_tests_page_says_where_its_wait_comes_from(library: Library) -> None:
    text = words(soup_of(page_of_test(library, library.tests["hold"]).html))
    assert "then wait 4 h" in text
    assert "Head : stands 3 h 30 min, for: height of water 7 in. Rounded up to 4 h." in text


def test_a_wait_of_the_cards_own_is_kept_and_the_worksheets_stands_beside_it(tmp_path: Path) -> None:
    wait = {"worksheet": "head", "result": "stands", "given": {"head": "7 in"}, "up_to": "30 min"}
    library = make_library(tmp_path, {
        "worksheets/head": {"results": {"stands": {"title": "Stands", "unit": "h", "sum": "head / 2 [in/h]"}}},
        "tests/kept": {"wait": "8 h", "wait_from": wait}, "tests/taken": {"wait_from": wait},
    })  # fmt: skip
    assert {name: test.wait for name, test in library.tests.items()} == {"kept": 480.0, "taken": 210.0}
    text = words(soup_of(page_of_test(library, library.tests["kept"]).html))
    assert "stands 3 h 30 min, for: height of water 7 in. The test waits 8 h, as its own card says." in text
    text = words(soup_of(page_of_worksheet(library, library.worksheets["head"]).html))
    assert "Waits that come from it:" in text


def test_a_worksheets_page_lists_the_tests_it_serves(library: Library) -> None:
    soup = soup_of(page_of_worksheet(library, library.worksheets["head"]).html)
    (section,) = soup.select("section.fl-worked")
    assert {link["href"] for link in section.select("a")} == {"../tests/hold.html"}
    assert "It climbs: twice 2 in or more" in words(section)
    assert "stands 3 h 30 min, for: height of water 7 in. Rounded up to 4 h." in words(section)


def test_pages_without_links_say_nothing_of_them(library: Library) -> None:
    assert soup_of(page_of_test(library, library.tests["look"]).html).select(".fl-worked") == []


def test_the_shipped_measuring_tests_are_linked_both_ways() -> None:
    """Every worksheet that a test names leads back to it, and every reading that is read is asked for."""
    library = shipped_library()
    linked = {name: test for name, test in library.tests.items() if test.works_out}
    assert {
        "cold-hold-all-shut", "bypass-hold", "feeder-live-hold", "float-feeder-hold", "coil-isolation-hold",
        "loop-isolation-hold", "idle-boiler-isolation", "return-isolation", "probe-resistance", "water-sample",
        "make-up-count", "stacking-height", "pressure-setting-look", "firing-rate-check", "feeder-settings-check",
    } <= set(linked)  # fmt: skip
    for name, test in linked.items():
        page = soup_of(page_of_test(library, test).html)
        for one in test.works_out:
            assert page.select(f'.fl-worked a[href="../worksheets/{one.worksheet}.html"]'), name
            back = soup_of(page_of_worksheet(library, library.worksheets[one.worksheet]).html)
            assert back.select(f'.fl-worked a[href="../tests/{name}.html"]'), (name, one.worksheet)


def test_the_shipped_holds_wait_as_long_as_physics_says() -> None:
    """By hand: two readings, each right to 3/32 in, differ by chance by less than 2 sqrt(2) times that, 0.265 in,
    0.318 gal at 1.2 gal an inch; a gallon a day lets that in within 7.6 h."""
    library = shipped_library()
    by_hand = 2 * 2**0.5 * 3 / 32 * 1.2 * 24
    assert 7 < by_hand < 8
    assert library.tests["cold-hold-all-shut"].wait == 480.0
    assert library.tests["coil-isolation-hold"].wait == 240.0
