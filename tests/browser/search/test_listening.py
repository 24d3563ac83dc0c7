"""A caller's sentence is heard rightly: all of tests/cases/callers.yml, played to the shipped cards in one page."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from faultleaf.export.search import search_script
from faultleaf.plugin.files import ASSETS, joined_script
from selenium.webdriver import Chrome

from tests.cli.calls import shipped_library
from tests.listened import DANGER, NONE, Said, sentences

HEAR = """
const { hearing } = globalThis.faultleaf, ear = hearing.tune(globalThis.faultleafSearch);
const name = (chip) => (chip.feature ? `${chip.feature}=${chip.value}` : `${chip.test}=${chip.outcome}`);
return arguments[0].map((text) => {
  const { dangers, symptoms, chips, nothing, nearest } = hearing.listen(ear, text);
  const id = (entry) => entry.id;
  return [dangers.map(name), symptoms.map(id), chips.map(name), nothing, nearest.map(id)];
});
"""


@dataclass(frozen=True)
class Heard:
    """One sentence and what was made of it."""

    said: Said
    dangers: list[str]
    symptoms: list[str]
    chips: list[str]
    nothing: bool
    nearest: list[str]

    @property
    def listed(self) -> list[str]:
        """The symptoms in the order in which the box shows them; where nothing fits, the nearest."""
        return self.symptoms or self.nearest


@pytest.fixture(scope="module")
def play(chromium: Chrome, tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], tuple[Heard, ...]]:
    """Plays one file of sentences to the shipped cards."""
    chromium.get(_page(tmp_path_factory.mktemp("heard")).as_uri())

    def played(name: str) -> tuple[Heard, ...]:
        said = sentences(name)
        answers = chromium.execute_script(HEAR, [each.says for each in said])
        return tuple(Heard(each, *answer) for each, answer in zip(said, answers, strict=True))

    return played


@pytest.fixture(scope="module")
def heard(play: Callable[[str], tuple[Heard, ...]]) -> tuple[Heard, ...]:
    return play("callers")


def _page(folder: Path) -> Path:
    (folder / "data.js").write_text(search_script(shipped_library()), encoding="utf-8")
    (folder / "search.js").write_text(joined_script("search"), encoding="utf-8")
    vendor = [(ASSETS / f"js/vendor/{name}.js").as_uri() for name in ("minisearch", "stemmer")]
    scripts = "".join(f'<script src="{each}"></script>' for each in (*vendor, "data.js", "search.js"))
    page = folder / "page.html"
    page.write_text(f'<!doctype html><html lang="en"><meta charset="utf-8">{scripts}</html>', encoding="utf-8")
    return page


def share(heard: list[Heard], right: Callable[[Heard], bool]) -> tuple[float, list[str]]:
    """The share that is right, and the sentences that are not."""
    wrong = [each.said.says for each in heard if not right(each)]
    return 1 - len(wrong) / len(heard), wrong


@cache
def _of_half(read: bool) -> frozenset[str]:
    return frozenset(each.says for each in sentences() if each.read is read)


def half(heard: tuple[Heard, ...], read: bool) -> list[Heard]:
    return [each for each in heard if each.said.says in _of_half(read)]


@pytest.mark.parametrize("read", [True, False], ids=["read", "unread"])
def test_symptom_is_first_in_nine_of_ten_and_in_three_nearly_always(heard: tuple[Heard, ...], read: bool) -> None:
    named = [each for each in half(heard, read) if each.said.symptom not in (NONE, DANGER)]
    first, wrong = share(named, lambda each: each.symptoms[:1] == [each.said.symptom])
    assert first >= 0.9, wrong
    in_three, wrong = share(named, lambda each: each.said.symptom in each.symptoms[:3])
    assert in_three >= 0.93, wrong
    listed, wrong = share(named, lambda each: each.said.symptom in each.listed[:3])
    assert listed >= 0.98, wrong


def test_every_danger_comes_first(heard: tuple[Heard, ...]) -> None:
    dangerous = [each for each in heard if each.said.symptom == DANGER]
    assert [each.said.says for each in dangerous if not each.dangers] == []


def test_no_danger_is_heard_where_none_is_said(heard: tuple[Heard, ...]) -> None:
    harmless = [each for each in heard if each.said.symptom != DANGER]
    right, wrong = share(harmless, lambda each: not each.dangers)
    assert right >= 0.98, wrong


@pytest.mark.parametrize("read", [True, False], ids=["read", "unread"])
def test_nothing_fits_what_is_about_other_things(heard: tuple[Heard, ...], read: bool) -> None:
    foreign = [each for each in half(heard, read) if each.said.about]
    right, wrong = share(foreign, lambda each: each.nothing)
    assert right >= 0.95, wrong


def test_nothing_fits_most_of_what_no_card_is_about_yet(heard: tuple[Heard, ...]) -> None:
    missing = [each for each in heard if each.said.symptom == NONE and each.said.later]
    right, wrong = share(missing, lambda each: each.nothing)
    assert right >= 0.7, wrong


@pytest.mark.parametrize("name", ["callers_tried", "callers_fresh"])
def test_what_was_tried_stays_right(play: Callable[[str], tuple[Heard, ...]], name: str) -> None:
    tried = play(name)
    right, wrong = share(list(tried), lambda each: _answer(each) == each.said.symptom)
    assert right >= 0.94, wrong


def test_what_was_played_once_is_listed_near_the_top(play: Callable[[str], tuple[Heard, ...]]) -> None:
    once = play("callers_once")
    named = [each for each in once if each.said.symptom not in (NONE, DANGER)]
    listed, wrong = share(named, lambda each: each.said.symptom in each.listed[:3])
    assert listed >= 0.98, wrong
    assert [each.said.says for each in once if each.said.symptom == DANGER and not each.dangers] == []
    assert [each.said.says for each in once if each.said.about and not each.nothing] == []


def _answer(heard: Heard) -> str:
    """What comes first, in the words of the cases."""
    return DANGER if heard.dangers else NONE if heard.nothing else [*heard.symptoms, NONE][0]


@pytest.mark.parametrize("read", [True, False], ids=["read", "unread"])
def test_chips_that_are_shown_are_right(heard: tuple[Heard, ...], read: bool) -> None:
    shown = [(each.said, chip) for each in half(heard, read) for chip in each.chips]
    wrong = [(said.says, chip) for said, chip in shown if chip not in said.chips]
    assert len(wrong) <= len(shown) / 10, wrong


def test_every_group_of_sentences_names_what_the_cards_have() -> None:
    library = shipped_library()
    seen = {f"{test.id}={outcome}" for test in library.tests.values() for outcome in test.outcomes}
    fitted = {f"{feature.id}={value}" for feature in library.equipment.values() for value in feature.values}
    for said in sentences():
        assert said.symptom in (*library.symptoms, NONE, DANGER)
        assert said.chips <= seen | fitted, said.says
        assert not said.seen or said.seen in seen
