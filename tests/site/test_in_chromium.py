"""The demonstration site opened from the disk in a real browser."""

import random
from collections.abc import Iterator
from pathlib import PurePosixPath
from typing import Any

import pytest
from selenium.webdriver import Chrome, Keys
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import Select
from selenium.webdriver.support.wait import WebDriverWait

from tests.browser.chromium import console_errors, outside_urls
from tests.counts import one_in
from tests.site.sites import NOT_FOUND, Site, largest_of_each_kind

RESULTS = """
const field = document.querySelector("[data-large] textarea");
return arguments[0].map((text) => {
  field.value = text;
  field.dispatchEvent(new Event("input", {bubbles: true}));
  const found = field.parentElement.querySelectorAll(".fl-search__result");
  return [...found].map((link) => link.getAttribute("href"));
});
"""
LETTERS = "abcdefghijklmnopqrstuvwxyz"
LONG_WORD = 6


@pytest.fixture
def chromium(desk: Chrome, site: Site) -> Iterator[Chrome]:
    """The desk's browser; afterwards nothing complained and nothing left the folder."""
    yield desk
    assert console_errors(desk) == ()
    assert outside_urls(desk, site.root) == ()


def test_every_page_loads_offline_without_a_complaint(site: Site, desk: Chrome) -> None:
    wrong: dict[str, tuple[str, ...]] = {}
    # Pages of one kind come from one template: the largest of each, and one in four of the others.
    paths = dict.fromkeys([*largest_of_each_kind(site), *one_in(4, site.pages)])
    for path in paths:
        if path == NOT_FOUND:
            continue  # its addresses begin at a host's root, which a folder does not have
        _open(desk, site, path)
        if found := (*console_errors(desk), *outside_urls(desk, site.root)):
            wrong[path] = found
    assert wrong == {}


def test_callers_words_lead_to_their_symptom(site: Site, chromium: Chrome) -> None:
    _open(chromium, site, "index.html")
    for symptom in site.library.symptoms.values():
        assert len(symptom.also_said) >= 10, symptom.id
        found = chromium.execute_script(RESULTS, list(symptom.also_said))
        first = dict(zip(symptom.also_said, (_first_symptom(each) for each in found), strict=True))
        assert {said: name for said, name in first.items() if name != symptom.id} == {}
        # "Low water cutoff" is a part's name too: then the part is what is asked for.
        part, own = ("./components/", "./terms/"), f"./symptoms/{symptom.id}.html"
        lead = [each[0] == own or each[0].startswith(part) for each in found]
        assert all(lead), [said for said, leads in zip(symptom.also_said, lead, strict=True) if not leads]


def test_callers_words_with_a_slip_mostly_lead_to_their_symptom(site: Site, chromium: Chrome) -> None:
    rng = random.Random(20261125)
    _open(chromium, site, "index.html")
    tried, lost = 0, []
    for symptom in site.library.symptoms.values():
        # A slip may make another word: "lses" is "loses" or "less", and "filing" is no slip at all.
        long = [said for said in symptom.also_said if max(map(len, said.split())) >= LONG_WORD]
        slipped = [_with_slip(said, rng) for said in long]
        found = chromium.execute_script(RESULTS, slipped)
        address = f"./symptoms/{symptom.id}.html"
        tried += len(slipped)
        lost += [said for said, each in zip(slipped, found, strict=True) if address not in each[:3]]
    assert len(lost) <= tried / 25, lost


def test_search_from_the_home_page_opens_the_symptom(site: Site, chromium: Chrome) -> None:
    _open(chromium, site, "index.html")
    chromium.find_element(By.CSS_SELECTOR, "[data-large] textarea").send_keys("water comes out the vents", Keys.ENTER)
    target = (site.root / "symptoms/boiler-overfills.html").as_uri()
    WebDriverWait(chromium, 10).until(lambda driver: driver.current_url == target)


def test_search_of_a_deep_page_opens_a_card(site: Site, chromium: Chrome) -> None:
    _open(chromium, site, "faults/coil-pinhole.html")
    chromium.find_element(By.CSS_SELECTOR, ".fl-header__search input").send_keys("well tank without air", Keys.ENTER)
    target = (site.root / "faults/well-tank-waterlogged.html").as_uri()
    WebDriverWait(chromium, 10).until(lambda driver: driver.current_url == target)


def test_chosen_system_alone_shows_its_causes(site: Site, chromium: Chrome) -> None:
    symptom = site.library.symptoms["boiler-overfills"]
    _open(chromium, site, "causes/boiler-overfills.html")
    buttons = chromium.find_elements(By.CSS_SELECTOR, "[data-faultleaf=choose-table] button")
    assert len(buttons) == len(symptom.variants) + 1
    names = [button.text for button in buttons]
    assert [name.lower() for name in names] == ["any system", *(name.lower() for name in symptom.variants)]
    for index in (2, 3, 0):
        buttons[index].click()
        assert [button.get_attribute("aria-pressed") for button in buttons].count("true") == 1
        assert buttons[index].get_attribute("aria-pressed") == "true"
        tables = chromium.find_elements(By.CSS_SELECTOR, "[data-faultleaf=causes] details[data-name]")
        assert [table.get_attribute("data-name") for table in tables if _is_seen(table)] == [names[index]]
    by_hand = list(symptom.variants).index("filled by hand") + 1
    buttons[by_hand].click()
    assert "Feeder valve does not close" not in _table_seen(chromium)
    buttons[0].click()
    assert "Feeder valve does not close" in _table_seen(chromium)


def test_equipment_filter_leaves_what_can_be_there(site: Site, chromium: Chrome) -> None:
    _open(chromium, site, "index-of-troubles.html")
    every = _rows_seen(chromium)
    assert every == {fault.id for fault in site.library.faults.values() if fault.symptoms}
    choice = Select(chromium.find_element(By.CSS_SELECTOR, "select[data-feature='water-feed']"))
    choice.select_by_value("manual")
    ruled_out = {
        fault.id for fault in site.library.faults.values()
        if "water-feed" in fault.found_on and "manual" not in fault.found_on["water-feed"]
    }  # fmt: skip
    left = _rows_seen(chromium)
    assert "well-tank-waterlogged" in ruled_out
    assert left & ruled_out == set()
    assert left < every
    count = chromium.find_element(By.CSS_SELECTOR, "[data-faultleaf=filter-count]").text
    assert count.startswith(f"{len(left)} of {len(every)} ")
    choice.select_by_value("")
    assert _rows_seen(chromium) == every


def test_print_button_prints_the_sheet(site: Site, chromium: Chrome) -> None:
    _open(chromium, site, site.below("charts")[0])
    # The browser's own dialog would stop the test; what the button asks for is what counts.
    chromium.execute_script("window.asked = 0; window.print = () => { window.asked += 1; };")
    chromium.find_element(By.CSS_SELECTOR, "[data-faultleaf=print]").click()
    assert chromium.execute_script("return window.asked") == 1


def _open(driver: Chrome, site: Site, path: str) -> None:
    driver.get((site.root / path).as_uri())


def _first_symptom(addresses: list[str]) -> str:
    return next((PurePosixPath(each).stem for each in addresses if "/symptoms/" in each), "")


def _with_slip(said: str, rng: random.Random) -> str:
    """The saying with one slip in its longest word: two letters swapped, one left out, or one doubled."""
    words = said.split()
    place = max(range(len(words)), key=lambda index: len(words[index]))
    word, at = words[place], rng.randrange(1, len(words[place]) - 2)
    kinds = (
        word[:at] + word[at + 1] + word[at] + word[at + 2 :],
        word[:at] + word[at + 1 :],
        word[:at] + word[at] + word[at:],
        word[:at] + rng.choice(LETTERS) + word[at + 1 :],
    )
    words[place] = rng.choice(kinds)
    return " ".join(words)


def _is_seen(table: WebElement) -> bool:
    return table.is_displayed() and table.get_attribute("open") is not None


def _table_seen(driver: Chrome) -> str:
    tables = driver.find_elements(By.CSS_SELECTOR, "[data-faultleaf=causes] details[data-name]")
    return "\n".join(table.text for table in tables if _is_seen(table))


def _rows_seen(driver: Chrome) -> set[str]:
    """The faults whose row of the index can be seen."""
    script = """return [...document.querySelectorAll("[data-faultleaf=matrix] tbody tr")]
        .filter((row) => row.getClientRects().length)
        .map((row) => row.querySelector("a").getAttribute("href"));"""
    shown: list[Any] = driver.execute_script(script)
    return {PurePosixPath(address).stem for address in shown}
