"""pages/numbers.py and worth.py: a row for every symptom and kind of system, and how to read each column."""

from dataclasses import replace
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag
from faultleaf.pages import WorkedSymptom, make_pages
from faultleaf.pipeline.work import work_library
from faultleaf.words import minutes_text

from tests.pages.samples import METRICS, QUICK, everything

TABLES = ("worth-minutes", "worth-boxes", "worth-firm")
Rows = dict[str, list[list[str]]]


def rows_of(table: Tag) -> Rows:
    """Texts of the rows of a table, by the symptom that they stand below."""
    return {
        " ".join(group.select("th[scope=rowgroup]")[0].get_text(" ").split()): [
            [" ".join(cell.get_text(" ").split()) for cell in row.find_all(["th", "td"])]
            for row in group.find_all("tr")[1:]
        ]
        for group in table.find_all("tbody")
    }


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, WorkedSymptom], BeautifulSoup]:
    library = everything(tmp_path_factory.mktemp("everything"))
    worked = work_library(library, METRICS, effort=QUICK)
    pages = {page.path: page for page in make_pages(library, worked, METRICS)}
    return worked, BeautifulSoup(pages["about-the-numbers.html"].html, "html.parser")


def table_of(page: BeautifulSoup, name: str) -> Tag:
    (table,) = page.select(f"table.{name}")
    return table


@pytest.mark.parametrize("name", TABLES)
def test_a_row_for_every_symptom_and_kind_of_system(
    name: str, made: tuple[dict[str, WorkedSymptom], BeautifulSoup]
) -> None:
    found = rows_of(table_of(made[1], name))
    assert {symptom: [row[0] for row in rows] for symptom, rows in found.items()} == {
        "Overfills": ["Automatic feed", "Fed by hand"],
        "Gas": ["An emergency: make safe and hand on. No plan is computed."],
        "Bangs": ["Its card names no kind of system, so there is no chart."],
    }
    heads = [cell.get_text() for cell in table_of(made[1], name).select("thead th")]
    for rows in found.values():
        assert all(len(row) in (1, len(heads)) for row in rows)
        assert all(all(row) for row in rows)


def test_minutes_are_those_that_were_worked_out(made: tuple[dict[str, WorkedSymptom], BeautifulSoup]) -> None:
    rows = rows_of(table_of(made[1], "worth-minutes"))["Overfills"]
    for row, variant in zip(rows, made[0]["overfills"].variants, strict=True):
        worth = variant.worth
        expected = (variant.plan.expected_minutes, dict(worth.curve)[20], worth.unlimited, worth.lower_bound)
        assert [row[1].partition(" (")[0], *row[2:5]] == [minutes_text(minutes) for minutes in expected]
        assert row[5] == "nothing: proved the best"
        thumb = (worth.in_card_order, worth.repairs_alone, worth.gain_per_cost, worth.one_step)
        assert row[6:] == [minutes_text(minutes) for minutes in thumb]


def test_how_firm_it_is_in_words(made: tuple[dict[str, WorkedSymptom], BeautifulSoup]) -> None:
    (row, _) = rows_of(table_of(made[1], "worth-firm"))["Overfills"]
    stable = made[0]["overfills"].variants[0].worth.stability
    assert row[2:5] == [f"{count} of 2" for count in (stable.same, stable.close, stable.same_weights)]
    # The bypass and the drip have no test between them whose rows differ by .3 (but for the look: dry, often).
    assert row[5] == "none"
    assert row[6].endswith("findings")


@pytest.mark.parametrize("name", TABLES)
def test_every_column_that_is_not_plain_is_explained(
    name: str, made: tuple[dict[str, WorkedSymptom], BeautifulSoup]
) -> None:
    heads = [cell.get_text() for cell in table_of(made[1], name).select("thead th")][1:]
    heading = made[1].find(id=name)
    assert isinstance(heading, Tag)
    following = heading.find_next(["ul", "table"])
    assert isinstance(following, Tag)
    said = [strong.get_text().removesuffix(":") for strong in following.select("li > strong")]
    assert said == ([] if name == "worth-boxes" else heads)
    box = table_of(made[1], name).parent
    assert box is not None
    assert box["class"] == ["fl-scroll"]
    assert box["aria-labelledby"] == name


def test_causes_that_nothing_tells_apart_are_named(tmp_path: Path) -> None:
    library = everything(tmp_path)
    blind = {name: fault.model_copy(update={"shows": {}}) for name, fault in library.faults.items()}
    cards = {("fault", name): fault for name, fault in blind.items()}
    library = replace(library, cards={**library.cards, **cards})
    worked = work_library(library, METRICS, effort=QUICK)
    pages = {page.path: page for page in make_pages(library, worked, METRICS)}
    page = BeautifulSoup(pages["about-the-numbers.html"].html, "html.parser")
    (first, _) = rows_of(table_of(page, "worth-firm"))["Overfills"]
    assert "Valve passes" in first[5]
    assert " / " in first[5]
