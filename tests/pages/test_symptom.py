"""pages/symptom.py and causes_page.py: shares, and what an outcome does to them, beside pyAgrum."""

import math
from collections.abc import Iterator
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from faultleaf.cards import Library, Test, card_url
from faultleaf.diagnosis import Belief, Problem, believe, compile_problem
from faultleaf.pages.causes_page import LIKELIER, NAMED_PER_OUTCOME, RowOfTest, cause_table, rows_of_tests
from faultleaf.pages.common import Link
from faultleaf.pages.symptom import information, quick_looks
from faultleaf.pipeline.work import work_library
from faultleaf.words import share_text

from tests.cli.calls import shipped_library
from tests.library import Entries, make_library
from tests.oracle import UNLISTED, posterior
from tests.pages.samples import EVERYTHING, METRICS, QUICK, everything, pages_of

SYMPTOM = "boiler-overfills"
NEAR = 1e-6
"""So near to a limit or to a rounding, two ways to compute may fall on different sides of it."""


@pytest.fixture(scope="module")
def library() -> Library:
    return shipped_library()


@pytest.fixture(scope="module")
def worked(library: Library) -> tuple[Problem, Belief]:
    problem = compile_problem(library, [SYMPTOM])
    return problem, believe(problem, {})


def factors_of(library: Library, test: str, outcome: str) -> tuple[dict[str, float], dict[str, float]]:
    """Slowly: each cause's share now, and how many times likelier the outcome makes it."""
    before = posterior(library, SYMPTOM, {}, {})
    after = posterior(library, SYMPTOM, {}, {test: outcome})
    return before, {cause: after[cause] / share for cause, share in before.items()}


def rows_of(library: Library, worked: tuple[Problem, Belief]) -> tuple[RowOfTest, ...]:
    return rows_of_tests(library, library.symptoms[SYMPTOM], *worked)


def named(links: tuple[Link, ...], library: Library) -> list[str]:
    ids = {card_url(fault): name for name, fault in library.faults.items()}
    return [ids[link.url] for link in links]


def outcomes_of(library: Library, worked: tuple[Problem, Belief]) -> Iterator[tuple[Test, str, list[str], list[str]]]:
    urls = {card_url(test): test for test in library.tests.values()}
    for row in rows_of(library, worked):
        test = urls[row.link.url]
        assert [said.words for said in row.outcomes] == list(test.outcomes.values())
        for outcome, said in zip(test.outcomes, row.outcomes, strict=True):
            yield test, outcome, named(said.likelier, library), named(said.less, library)


def test_what_an_outcome_says_is_what_bayes_rule_says(library: Library, worked: tuple[Problem, Belief]) -> None:
    seen = 0
    for test, outcome, up, down in outcomes_of(library, worked):
        before, factors = factors_of(library, test.id, outcome)
        gain = {cause: factors[cause] * before[cause] for cause in before if cause != UNLISTED}
        assert all(factors[cause] > LIKELIER - NEAR for cause in up)
        assert all(factors[cause] < 1 / LIKELIER + NEAR for cause in down)
        left_up = {cause for cause in gain if factors[cause] > LIKELIER + NEAR} - set(up)
        left_down = {cause for cause in gain if factors[cause] < 1 / LIKELIER - NEAR} - set(down)
        if left_up:
            assert len(up) == NAMED_PER_OUTCOME
            assert min(gain[cause] for cause in up) > max(gain[cause] for cause in left_up) - NEAR
        if left_down:
            assert len(down) == NAMED_PER_OUTCOME
            assert min(before[cause] for cause in down) > max(before[cause] for cause in left_down) - NEAR
        seen += bool(up) + bool(down)
    assert seen > 50


def test_outcomes_of_a_test_share_all_calls(library: Library, worked: tuple[Problem, Belief]) -> None:
    problem, belief = worked
    rows = {row.link.url: row for row in rows_of(library, worked)}
    for test in problem.tests:
        if f"tests/{test.id}.html" not in rows:
            continue
        reached = [float(belief.probabilities @ test.table[:, n]) for n in range(len(test.outcomes))]
        assert math.isclose(math.fsum(reached), 1, abs_tol=1e-9)
        assert [said.share for said in rows[f"tests/{test.id}.html"].outcomes] == [share_text(each) for each in reached]


def test_tests_are_those_of_the_symptoms_causes_and_those_that_come_first(
    library: Library, worked: tuple[Problem, Belief]
) -> None:
    causes = [fault for fault in library.faults.values() if SYMPTOM in fault.symptoms]
    named_by_none = {name for name in library.tests if not any(name in fault.named_tests for fault in causes)}
    first = {check.test for check in library.symptoms[SYMPTOM].first}
    shown = {row.link.url.removeprefix("tests/").removesuffix(".html") for row in rows_of(library, worked)}
    assert named_by_none & shown <= first <= shown
    assert {test.id for test in worked[0].tests if test.id in library.tests} - named_by_none <= shown


def test_tests_stand_quickest_first(library: Library, worked: tuple[Problem, Belief]) -> None:
    minutes = {card_url(library.tests[test.id]): test.minutes for test in worked[0].tests if not test.equipment}
    order = [minutes[row.link.url] for row in rows_of(library, worked)]
    assert order == sorted(order)


@pytest.mark.parametrize("feed", ["", "automatic", "manual"])
def test_cause_table_holds_the_shares_of_another_library(feed: str, library: Library) -> None:
    equipment = {"water-feed": feed} if feed else {}
    symptom = library.symptoms[SYMPTOM]
    belief = believe(compile_problem(library, [SYMPTOM], equipment=equipment), {})
    table = cause_table(library, symptom, "this system", belief)
    expected = posterior(library, SYMPTOM, equipment, {})
    assert table.unlisted == share_text(expected.pop(UNLISTED))
    shown = {row.link.url: row.link.note for row in table.rows}
    assert shown == {card_url(library.faults[cause]): share_text(share) for cause, share in expected.items()}
    dots = [row.link.dots.count for row in table.rows if row.link.dots]
    assert len(dots) == len(expected)
    assert dots == sorted(dots, reverse=True)


def test_shares_of_a_table_add_up(library: Library) -> None:
    for name, symptom in library.symptoms.items():
        for equipment in ({}, *symptom.variants.values()):
            belief = believe(compile_problem(library, [name], equipment=equipment), {})
            table = cause_table(library, symptom, "this system", belief)
            shares = [row.link.note for row in table.rows] + [table.unlisted]
            small = shares.count("under 1 %")
            total = sum(float(share.removesuffix(" %")) for share in shares if share != "under 1 %")
            # Each share is rounded by at most half of what it shows, and a small one is below 1.
            assert 100 - small - 0.5 * len(shares) <= total <= 100 + 0.5 * len(shares)
            assert math.isclose(math.fsum(share for _, share in belief.ranked()), 1, abs_tol=1e-9)


def test_page_has_a_table_for_every_variant(tmp_path: Path) -> None:
    page = BeautifulSoup(pages_of(everything(tmp_path))["causes/overfills.html"].html, "html.parser")
    tables = {str(tag["id"]): tag for tag in page.select(".fl-causes")}
    assert list(tables) == ["causes-any-system", "causes-automatic-feed", "causes-fed-by-hand"]
    rows = {name: [row.get_text(strip=True) for row in tag.select(".fl-row__title")] for name, tag in tables.items()}
    assert rows["causes-automatic-feed"] == ["Bypass left open", "Valve passes", "Drip at the seat"]
    assert rows["causes-fed-by-hand"] == ["Bypass left open", "Drip at the seat"]
    # Rates all 4; by hand .85 and .5 of that, and a tenth kept: 0.9×.85/1.35 = 56.7 %, 0.9×.5/1.35 = 33.3 %.
    shown = tables["causes-fed-by-hand"].select(".fl-row__note, .fl-unlisted > strong")
    shares = [tag.get_text(strip=True) for tag in shown]
    assert shares == ["57 %", "33 %", "10 %"]


def test_symptom_that_nothing_shows_as_has_only_the_unlisted_cause(tmp_path: Path) -> None:
    cards = {"symptoms/alone": {}, "equipment": EVERYTHING["equipment"]}
    page = BeautifulSoup(pages_of(make_library(tmp_path, cards))["causes/alone.html"].html, "html.parser")
    (row,) = page.select(".fl-causes li")
    assert row.get_text(" ", strip=True).startswith("100 % something that no card describes")


def test_what_parts_the_causes_stands_before_them_and_nothing_of_the_text_is_lost(tmp_path: Path) -> None:
    text = "## What it means\nFirst words.\n\nIt is one of two:\n\n1. In.\n2. Away.\n\nLast words.\n"
    faults = {f"faults/f{n}": {"symptoms": {"high": "often"}} for n in range(6)}
    cards: Entries = {"symptoms/high": {"body": text}, **faults}
    page = BeautifulSoup(pages_of(make_library(tmp_path, cards))["symptoms/high.html"].html, "html.parser")
    taught = page.select_one(".fl-parting")
    assert taught is not None
    folded = taught.select_one("details")
    assert folded is not None
    assert " ".join(folded.get_text(" ").split()) == "Read on First words. Last words."
    assert [tag.get_text() for tag in taught.select("ol > li")] == ["In.", "Away."]
    assert len(page.select("section[aria-labelledby=causes] .fl-dots")) == 4
    assert "All 6 causes, and every test" in page.get_text()


def test_quick_looks_part_the_causes_best(tmp_path: Path) -> None:
    # By hand: two causes alike. A test that always tells them apart gives ln 2 nats, a deaf one nothing.
    kept = {"title": "T", "outcomes": {"a": "A", "b": "B"}, "takes": "2 min", "otherwise": {"a": "0.5", "b": "0.5"}}
    cards: Entries = {
        "symptoms/high": {"unlisted": "0"},
        "faults/x": {"symptoms": {"high": "often"}, "shows": {"sharp": {"a": "1"}, "dull": {"a": "0.6"}}},
        "faults/y": {"symptoms": {"high": "often"}, "shows": {"sharp": {"b": "1"}, "dull": {"b": "0.6"}}},
        **{f"tests/{name}": {**kept, "way": "look"} for name in ("sharp", "dull", "deaf")},
        "tests/long": {**kept, "way": "look", "takes": "30 min"}, "tests/opened": {**kept, "way": "open"},
    }  # fmt: skip
    library = make_library(tmp_path, cards)
    worked = work_library(library, METRICS, effort=QUICK)["high"]
    assert [test.id for test in quick_looks(library, worked)] == ["sharp", "dull"]
    gains = {test.id: gain for gain, test in information(library, worked)}
    assert math.isclose(gains["sharp"], math.log(2), abs_tol=1e-6)  # Shannon 1948: one bit
    assert "deaf" not in gains
