"""pages/test.py and fault.py: what stops stands first; what may wait, perish, be renewed; ways of showing."""

import pytest
from bs4 import BeautifulSoup, Tag
from faultleaf.cards import Library
from faultleaf.pages.test import acts_text, page_of_test

from tests.pages.samples import everything, pages_of


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    return everything(tmp_path_factory.mktemp("everything"))


@pytest.fixture(scope="module")
def pages(library: Library) -> dict[str, BeautifulSoup]:
    return {path: BeautifulSoup(page.html, "html.parser") for path, page in pages_of(library).items()}


def words(soup: Tag) -> str:
    return " ".join(soup.get_text(" ").split())


def test_a_stop_stands_before_the_steps_and_the_facts(library: Library) -> None:
    soup = BeautifulSoup(page_of_test(library, library.tests["smell"]).html, "html.parser")
    (stop,) = soup.select("section.fl-stop")
    assert words(stop) == (
        "STOP if you see: Of gas DANGER Hot water SCALD: Scalding water Hot water. It burns. Let it cool. Making safe "
        "takes about 10 min. Call: the fire service. After that these alone: Look at the glass ; Drip at the seat (its "
        "repair). Nothing else is done on this call."
    )
    later = ["h2", "dl"]
    assert all(stop in tag.find_all_previous("section") for name in later for tag in soup.find_all(name))


def test_what_perishes_changes_and_is_renewed_is_said(library: Library) -> None:
    text = words(BeautifulSoup(page_of_test(library, library.tests["smell"]).html, "html.parser"))
    assert "Look before anybody drains, fills or fires : after that it is worth nothing." in text
    assert "What it changes it drains or opens" in text
    assert "“Of nothing” here: at Look at the glass “Wet” is now found." in text
    assert "with: By hand, hardly ever" in text


def test_a_hold_says_who_reads_it_and_what_may_wait_beside_it(library: Library) -> None:
    text = words(BeautifulSoup(page_of_test(library, library.tests["hold"]).html, "html.parser"))
    assert "Read and telephoned by Owner: look only" in text
    assert "May wait the same night as Smell first" in text
    assert "at: Bangs, half" in text


def test_a_test_without_stops_has_no_stop(library: Library) -> None:
    soup = BeautifulSoup(page_of_test(library, library.tests["look"]).html, "html.parser")
    assert soup.select("section.fl-stop") == []


def test_ways_of_showing_stand_under_one_fault(pages: dict[str, BeautifulSoup]) -> None:
    soup = pages["faults/drip.html"]
    ways = soup.select("#ways ~ details")
    assert [words(way) for way in ways] == [
        "By a hair 75 % of its cases Probe : Low", "It runs 25 % of its cases Probe : High Hold it : It climbs",
    ]  # fmt: skip
    assert "For the owner The seat had worn." in words(soup)


def test_a_job_to_quote_and_a_mending_are_said(pages: dict[str, BeautifulSoup]) -> None:
    assert words(pages["faults/valve.html"]).count("A job to quote") == 1
    text = words(pages["repairs/valve.html"])
    assert text.count("a job to quote: the call ends with the cause named") == 1
    assert "It puts right what these tests rely on, on any symptom: Probe" in text


@pytest.mark.parametrize(
    ("acts", "said"),
    [
        ((), ""),
        (("fire",), "it fires"),
        (("drain", "open"), "it drains or opens"),
        (("drain", "fill", "fire"), "it drains, fills or fires"),
    ],
)
def test_acts(acts: tuple[str, ...], said: str) -> None:
    assert acts_text(acts, "it ") == said


def test_charts_say_how_calls_end_and_never_one_sum(pages: dict[str, BeautifulSoup]) -> None:
    for path in ("causes/overfills.html", "charts/overfills--automatic-feed.html"):
        text = words(pages[path])
        assert "Of 100 such calls about" in text, path
        assert "of work" in text, path
        assert "to a proved repair (" not in text
        assert "expected to a proved repair" not in text
        assert "it stays the next step in" in text
