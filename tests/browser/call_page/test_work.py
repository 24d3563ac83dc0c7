"""A worksheet within the call: filled from the survey, typed, its result taken, kept, reported, loaded again."""

import json
from pathlib import Path
from typing import Any

import pytest
from selenium.webdriver.common.by import By
from selenium.webdriver.support.select import Select

from tests.browser.call_page.page import CallPage
from tests.browser.call_page.test_calls import ON_SHEET
from tests.browser.call_page.test_record import _load, _saved, downloads

__all__ = ["downloads"]

TYPED = """
const box = document.getElementById(arguments[0]);
box.value = arguments[1];
box.dispatchEvent(new Event("input", { bubbles: true }));
"""
SURVEY = """localStorage.setItem("faultleaf-survey", JSON.stringify(
    { faultleaf: "survey", survey: "house", asks: { edr: "320" }, radiators: [] }))"""


def _log(page: CallPage) -> list[dict[str, Any]]:
    """The record of the one job that is kept."""
    (key,) = page.stored()
    log: list[dict[str, Any]] = json.loads(page.driver.execute_script("return localStorage[arguments[0]]", key))["log"]
    return log


def _at_hold(page: CallPage) -> None:
    """At the test that a worksheet works out."""
    page.begin(ON_SHEET)
    page.press("outcome-true")
    page.go("others")
    page.unfold()
    page.press_text("Hold with the power off")
    assert page.heading() == "Hold with the power off"


def _open_sheet(page: CallPage) -> None:
    _at_hold(page)
    page.press("work-climb")
    assert page.heading() == "What a climb means"


def _type(page: CallPage, name: str, text: str) -> None:
    page.driver.execute_script(TYPED, f"in-{name}", text)


def _choose(page: CallPage, words: str) -> None:
    Select(page.driver.find_element(By.ID, "in-feed")).select_by_visible_text(words)


def _means(page: CallPage) -> str:
    return page.driver.find_element(By.CSS_SELECTOR, ".fl-work-means").text


def test_what_is_read_here_is_empty_and_nothing_can_be_taken_before(page: CallPage) -> None:
    _open_sheet(page)
    values = {name: page.driver.find_element(By.ID, f"in-{name}").get_attribute("value") for name in
              ("rise", "feed", "hours", "reading", "leak")}  # fmt: skip
    assert values == {"rise": "", "feed": "-", "hours": "8", "reading": "1/8", "leak": "0.1"}
    assert _means(page) == "Not decided yet: 'Rise of the glass' is missing."
    assert not page.control("take").is_enabled()
    assert "NaN" not in page.text()


def test_the_result_is_taken_with_one_press_and_stands_in_report_and_file(page: CallPage, downloads: Path) -> None:
    _open_sheet(page)
    _type(page, "rise", "1 1/4 ± 1/8")
    _choose(page, "shut")
    assert _means(page) == "That means: It climbs past the mark."
    assert page.control("take").text == "Take it as found: It climbs past the mark"
    page.press("take")
    assert page.heading() != "What a climb means"
    finding = _log(page)[-1]
    assert (finding["what"], finding["test"], finding["outcome"]) == ("finding", "hold", "rises")
    assert finding["worked"] == {
        "worksheet": "climb", "by": "real",
        "inputs": {"rise": "1.25 ± 0.125 in", "hours": "8 h", "reading": "0.125 in", "leak": "0.1 gal/h",
                   "edr": "200 ft² EDR", "feed": "shut"},
        "results": {"real": "1.25 ± 0.13 in", "fast": "0.156 ± 0.016 in/h", "stand": "7.07 h"},
    }  # fmt: skip
    page.go("report")
    told = page.text()
    assert "Hold with the power off: It climbs past the mark [Real rise: 1.25 ± 0.13 in]" in told
    assert "Worked out with “What a climb means”. Put in: Rise of the glass 1.25 ± 0.125 in; Hours it stood 8 h" in told
    assert "Came out: Real rise 1.25 ± 0.13 in" in told
    page.back()
    page.unfold("This job")
    page.click(page.control("save"))
    file = _saved(downloads)
    record = json.loads(file.read_text(encoding="utf-8"))
    assert record["version"] == 3
    assert record["log"][-1]["worked"] == finding["worked"]
    page.driver.execute_script("localStorage.clear()")
    _load(page, file)
    assert _log(page) == record["log"]


@pytest.mark.parametrize(
    ("rise", "feed", "says"),
    [
        ("0.2", "shut", "That means: It stays at the mark."),
        ("0.25", "shut", "That means: It climbs past the mark."),
        ("6.35 mm", "shut", "That means: It climbs past the mark."),
        ("0.3 ± 0.1", "shut", "Within its ± it may also be: It stays at the mark."),
        ("5", "open", "That means: It stays at the mark."),
        ("-1", "shut", "That means: It stays at the mark."),
        ("a bit", "shut", "Not decided yet: 'Rise of the glass' is missing."),
        ("", "shut", "Not decided yet: 'Rise of the glass' is missing."),
    ],
)
def test_the_limits_of_the_card_decide(page: CallPage, rise: str, feed: str, says: str) -> None:
    _open_sheet(page)
    _type(page, "rise", rise)
    _choose(page, feed)
    assert says in _means(page)
    assert page.control("take").is_enabled() is ("That means" in _means(page))


def test_results_are_asked_in_the_order_of_the_card(page: CallPage) -> None:
    """3 in within an hour decide by their speed, before the rise itself is asked."""
    _open_sheet(page)
    _type(page, "rise", "3")
    _type(page, "hours", "1")
    _choose(page, "shut")
    page.press("take")
    assert _log(page)[-1]["worked"]["by"] == "fast"


def test_the_kept_survey_fills_what_it_knows(page: CallPage) -> None:
    page.driver.execute_script(SURVEY)
    _open_sheet(page)
    assert page.driver.find_element(By.ID, "in-edr").get_attribute("value") == "320"
    assert "From the survey kept here: Radiators." in page.text()


def test_units_can_be_changed_and_the_record_says_them(page: CallPage) -> None:
    _open_sheet(page)
    _type(page, "rise", "1")
    _choose(page, "shut")
    unit = page.driver.find_element(By.CSS_SELECTOR, '[data-input="rise"] select.fl-sum__unit')
    Select(unit).select_by_value("mm")
    assert page.driver.find_element(By.ID, "in-rise").get_attribute("value") == "25.4"
    page.press("take")
    assert _log(page)[-1]["worked"]["inputs"]["rise"] == "25.4 mm"


def test_the_back_button_leads_to_the_step_and_nothing_was_written(page: CallPage) -> None:
    _open_sheet(page)
    page.press("step")
    assert page.heading() == "Hold with the power off"
    assert all("worked" not in entry for entry in _log(page))


def test_where_the_wait_comes_from_is_said_at_the_step(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.press("outcome-true")
    page.go("others")
    page.unfold()
    page.press_text("Hold over a night, bypass shut")
    assert "That wait: it must stand 8 h 29 min, for: leak that matters 1 gal/day." in page.text()


@pytest.mark.parametrize("more", ["", "&step=listen&with=climb", "&step=hold&with=other", "&step=hold"])
def test_an_address_that_asks_for_no_worksheet_shows_the_step_that_is_due(page: CallPage, more: str) -> None:
    page.begin(ON_SHEET)
    page.press("outcome-true")
    page.go(f"work{more}")
    assert page.heading() != "What a climb means"
    assert page.where()[0] == "step"
