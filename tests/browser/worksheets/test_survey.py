"""The survey on a phone: a sound house matches, one with four mismatches is told each, how far and how sure."""

import json
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from tests.browser.chromium import console_errors, open_chromium, outside_urls
from tests.browser.worksheets.small_site import build_worksheet_site

SOUND = {
    "name": "Invented house, Elm Court", "firing": "125,000", "gross": "104,000", "plate-net": "325",
    "content": "12", "per-inch": "1.2", "altitude": "300", "riser": "2-1/2 in", "risers": "2", "header": "4 in",
    "main": "2-1/2 in", "main-length": "45", "on-main": "180", "vents": "2", "vent-passes": "0.6", "pressure": "24 oz",
    "end-pressure": "20 oz", "room": "34", "dial": "0.5", "differential": "1", "way": "adds to the main setting",
    "delay": "10", "flow": "1", "burst": "1", "back": "6", "hardness": "8", "make-up": "30",
    "water-feed": "automatic", "low-water-cutoff": "probe", "pipe-system": "one-pipe",
}  # fmt: skip
WRONG = {
    **SOUND, "name": "Invented house, Mill Lane", "firing": "260,000", "gross": "215,000", "riser": "2 in",
    "risers": "1", "vents": "1", "vent-passes": "0.1 ± 0.01", "delay": "1", "back": "15",
}  # fmt: skip
RADIATORS = (("column-3", "38", "12"), ("column-2", "38", "14"), ("tube-5", "26", "20"), ("column-3", "32", "20"))
PUT = """
const put = (id, text) => {
  const box = document.getElementById(id);
  const [value, give] = text.split("±");
  box.value = value.trim();
  if (give) document.getElementById(`${id}-give`).value = give.trim();
  box.dispatchEvent(new Event("input", { bubbles: true }));
};
for (const [id, text] of Object.entries(arguments[0])) put(`sur-${id}`, text);
const cells = ["kind", "height", "sections"];
arguments[1].forEach((row, at) => cells.forEach((name, i) => put(`rad-${at}-${name}`, row[i])));
"""
FOUND = """
return [...document.querySelectorAll(".fl-survey__match")].map((each) => each.querySelector("strong").textContent);
"""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_worksheet_site(tmp_path_factory.mktemp("surveys") / "home")


@pytest.fixture(scope="module")
def phone(site: Path) -> Iterator[Chrome]:
    with open_chromium(390, 844) as driver:
        yield driver
        assert console_errors(driver) == ()
        assert outside_urls(driver, site) == ()


def _open(phone: Chrome, site: Path) -> None:
    phone.get((site / "surveys/house.html").as_uri())


def _take(
    phone: Chrome, site: Path, house: Mapping[str, str], radiators: Sequence[Sequence[str]] = RADIATORS
) -> list[str]:
    """Fill in the survey of a house anew; the headings of what it says."""
    _open(phone, site)
    phone.execute_script("localStorage.clear()")
    phone.refresh()
    phone.execute_script(PUT, house, radiators)
    found: list[str] = phone.execute_script(FOUND)
    return found


def _says(phone: Chrome) -> str:
    return phone.find_element(By.CSS_SELECTOR, ".fl-survey__says").text


def test_a_sound_house_matches(phone: Chrome, site: Path) -> None:
    found = _take(phone, site, SOUND)
    # 12 x 5 + 14 x 4 + 20 x 3.5 + 20 x 4.5 = 276 sq ft, each rated to within 5 percent
    assert "276 ± 14 ft² EDR in all radiators." in _says(phone)
    assert len(found) == 8
    assert [line for line in found if not line.startswith("Fits")] == []


def test_four_mismatches_are_each_named_with_the_faults_to_look_at(phone: Chrome, site: Path) -> None:
    found = _take(phone, site, WRONG)
    wrong = {line.partition(": ")[2] for line in found if line.startswith("Does not match")}
    assert wrong == {
        "Fire against connected radiators", "Steam speed in the boiler risers", "Main vents against the main",
        "Feeder's delay against the way home",
    }  # fmt: skip
    assert found[:4] == [line for line in found if line.startswith("Does not match")], "what is off comes first"
    text = _says(phone)
    assert "fits at 0.9 to 1.25 times" in text
    links = [str(link.get_attribute("href")) for link in phone.find_elements(By.CSS_SELECTOR, ".fl-survey__match a")]
    for fault in ("firing-rate-high", "header-undersized", "feed-delay-short"):
        assert any(link.endswith(f"faults/{fault}.html") for link in links), fault
    assert "NaN" not in text


def test_a_rough_figure_only_perhaps_does_not_match(phone: Chrome, site: Path) -> None:
    found = _take(phone, site, {**SOUND, "room": "22 ± 9"})
    assert "May not match: Height above the water line against pressure" in found


def test_an_empty_survey_says_what_is_wanted(phone: Chrome, site: Path) -> None:
    found = _take(phone, site, {}, ())
    assert all(line.startswith("Not known") for line in found)
    assert "Still wanted: Firing rate" in _says(phone)
    assert "No radiator is counted yet." in _says(phone)


def test_it_is_kept_and_fills_a_worksheet(phone: Chrome, site: Path) -> None:
    _take(phone, site, WRONG)
    before = _says(phone)
    _open(phone, site)
    assert _says(phone) == before
    phone.get((site / "worksheets/riser-velocity.html").as_uri())
    phone.find_element(By.CSS_SELECTOR, '[data-do="survey"]').click()
    shown = phone.find_element(By.CSS_SELECTOR, '[data-result="riser-speed"] output').text
    assert f"{shown} ft/s" in before
    phone.get((site / "worksheets/net-rating.html").as_uri())
    phone.find_element(By.CSS_SELECTOR, '[data-do="survey"]').click()
    assert phone.find_element(By.ID, "in-edr").get_attribute("value") == "276"


def test_the_equipment_goes_to_the_call(phone: Chrome, site: Path) -> None:
    _take(phone, site, SOUND)
    address = str(phone.find_element(By.CSS_SELECTOR, ".fl-survey__calls a").get_attribute("href"))
    wanted = "has=water-feed:automatic,low-water-cutoff:probe,pipe-system:one-pipe"
    assert address.endswith(f"work-the-call.html#say=smell-of-gas&{wanted}")


def test_files_are_opened_again_and_others_refused(phone: Chrome, site: Path, tmp_path: Path) -> None:
    _take(phone, site, WRONG)
    before = _says(phone)
    kept = json.loads(phone.execute_script("return localStorage.getItem('faultleaf-survey')"))
    good, bad = tmp_path / "survey.json", tmp_path / "other.json"
    good.write_text(json.dumps(kept), encoding="utf-8")
    bad.write_text(json.dumps({**kept, "asks": {"firing": {"__proto__": 1}}}), encoding="utf-8")
    phone.find_element(By.CSS_SELECTOR, '[data-do="clear"]').click()
    assert "No radiator is counted yet." in _says(phone)
    for path, told in ((bad, "This file is no survey."), (good, "")):
        phone.execute_script("document.querySelector('input[type=file]').hidden = false")
        phone.find_element(By.CSS_SELECTOR, "input[type=file]").send_keys(str(path))
        phone.execute_async_script("setTimeout(arguments[0], 200)")
        assert phone.find_element(By.CSS_SELECTOR, ".fl-survey__told").text == told
    assert _says(phone) == before


@pytest.mark.parametrize(
    ("radiator", "says"),
    [
        (("column-3", "29", "8"), "the printed heights are 18, 22, 26, 32, 38, 45 in"),
        (("", "38", "8"), "choose its kind"), (("tube-4", "26", "2 1/2"), "count whole sections"),
        (("tube-4", "tall", "6"), "cannot be read"), (("tube-4", "26", ""), "nothing is filled in"),
    ],
)  # fmt: skip
def test_a_radiator_that_no_table_has_is_said(phone: Chrome, site: Path, radiator: tuple[str, ...], says: str) -> None:
    _take(phone, site, {}, (radiator,))
    assert says in phone.find_element(By.CSS_SELECTOR, '[data-radiator="0"] .fl-sum__problem').text
    assert "No radiator is counted yet." in _says(phone)


def test_nothing_hangs_over(phone: Chrome, site: Path) -> None:
    _take(phone, site, WRONG)
    assert not phone.execute_script("return document.documentElement.scrollWidth > innerWidth")
