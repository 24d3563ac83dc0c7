"""pages/symptom.py: shares and what an outcome does to them, beside pyAgrum on the shipped library."""

import math
from collections.abc import Iterator
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from faultleaf.cards import Library, Test, card_url
from faultleaf.diagnosis import Belief, Problem, believe, compile_problem
from faultleaf.pages.common import Link
from faultleaf.pages.symptom import LIKELIER, NAMED_PER_OUTCOME, cause_table, rows_of_tests
from faultleaf.words import factor_text, share_text

from tests.cli.calls import shipped_library
from tests.library import make_library
from tests.oracle import UNLISTED, posterior
from tests.pages.samples import EVERYTHING, everything, pages_of

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


def named(links: tuple[Link, ...], library: Library) -> dict[str, str]:
    ids = {card_url(fault): name for name, fault in library.faults.items()}
    return {ids[link.url]: link.note for link in links}


def outcomes_of(
    library: Library, worked: tuple[Problem, Belief]
) -> Iterator[tuple[Test, str, dict[str, str], dict[str, str]]]:
    urls = {card_url(test): test for test in library.tests.values()}
    for row in rows_of_tests(library, *worked):
        test = urls[row.link.url]
        assert [said.words for said in row.outcomes] == list(test.outcomes.values())
        for outcome, said in zip(test.outcomes, row.outcomes, strict=True):
            yield test, outcome, named(said.likelier, library), named(said.less, library)


def test_what_an_outcome_says_is_what_bayes_rule_says(library: Library, worked: tuple[Problem, Belief]) -> None:
    seen = 0
    for test, outcome, up, down in outcomes_of(library, worked):
        before, factors = factors_of(library, test.id, outcome)
        gain = {cause: factors[cause] * before[cause] for cause in before if cause != UNLISTED}
        for cause, note in {**up, **down}.items():
            assert note in {factor_text(factors[cause] * (1 + turn)) for turn in (-NEAR, 0, NEAR)}, test.id
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
    rows = {row.link.url: row for row in rows_of_tests(library, problem, belief)}
    assert len(rows) == len([test for test in problem.tests if not test.equipment])
    for test in problem.tests:
        if test.equipment:
            continue
        reached = [float(belief.probabilities @ test.table[:, n]) for n in range(len(test.outcomes))]
        assert math.isclose(math.fsum(reached), 1, abs_tol=1e-9)
        assert [said.share for said in rows[f"tests/{test.id}.html"].outcomes] == [share_text(each) for each in reached]


def test_tests_stand_quickest_first(library: Library, worked: tuple[Problem, Belief]) -> None:
    minutes = {card_url(library.tests[test.id]): test.minutes for test in worked[0].tests if not test.equipment}
    order = [minutes[row.link.url] for row in rows_of_tests(library, *worked)]
    assert order == sorted(order)


@pytest.mark.parametrize("feed", ["", "automatic", "manual"])
def test_cause_table_holds_the_shares_of_another_library(feed: str, library: Library) -> None:
    equipment = {"water-feed": feed} if feed else {}
    symptom = library.symptoms[SYMPTOM]
    belief = believe(compile_problem(library, [SYMPTOM], equipment=equipment), {})
    table = cause_table(library, symptom, "this system", belief)
    expected = posterior(library, SYMPTOM, equipment, {})
    assert table.unlisted == share_text(expected.pop(UNLISTED))
    shown = {row.link.url: row.share for row in table.rows}
    assert shown == {card_url(library.faults[cause]): share_text(share) for cause, share in expected.items()}
    bars = [row.bar for row in table.rows]
    assert bars == sorted(bars, reverse=True)
    assert bars[0] == 100


def test_shares_of_a_table_add_up(library: Library) -> None:
    for name, symptom in library.symptoms.items():
        for equipment in ({}, *symptom.variants.values()):
            belief = believe(compile_problem(library, [name], equipment=equipment), {})
            table = cause_table(library, symptom, "this system", belief)
            shares = [row.share for row in table.rows] + [table.unlisted]
            small = shares.count("under 1 %")
            total = sum(float(share.removesuffix(" %")) for share in shares if share != "under 1 %")
            # Each share is rounded by at most half of what it shows, and a small one is below 1.
            assert 100 - small - 0.5 * len(shares) <= total <= 100 + 0.5 * len(shares)
            assert math.isclose(math.fsum(share for _, share in belief.ranked()), 1, abs_tol=1e-9)


def test_page_has_a_table_for_every_variant(tmp_path: Path) -> None:
    page = BeautifulSoup(pages_of(everything(tmp_path))["symptoms/overfills.html"].html, "html.parser")
    tables = {str(tag["id"]): tag for tag in page.select(".fl-causes")}
    assert list(tables) == ["causes-any-system", "causes-automatic-feed", "causes-fed-by-hand"]
    rows = {name: [row.get_text(strip=True) for row in tag.select("tbody th a")] for name, tag in tables.items()}
    assert rows["causes-automatic-feed"] == ["Bypass left open", "Valve passes", "Drip at the seat"]
    assert rows["causes-fed-by-hand"] == ["Bypass left open", "Drip at the seat"]
    # Rates all 4; by hand .85 and .5 of that, and a tenth kept: 0.9×.85/1.35 = 56.7 %, 0.9×.5/1.35 = 33.3 %.
    shares = [tag.get_text(strip=True) for tag in tables["causes-fed-by-hand"].select("td.fl-share > span")]
    assert shares == ["57 %", "33 %", "10 %"]


def test_symptom_that_nothing_shows_as_has_only_the_unlisted_cause(tmp_path: Path) -> None:
    cards = {"symptoms/alone": {}, "equipment": EVERYTHING["equipment"]}
    page = BeautifulSoup(pages_of(make_library(tmp_path, cards))["symptoms/alone.html"].html, "html.parser")
    (row,) = page.select(".fl-causes tbody tr")
    assert row.get_text(" ", strip=True).startswith("100 % A cause that no card names")
