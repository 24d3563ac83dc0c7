"""What the call page says in numbers and short lines, beside Python's words, and in how few files it comes."""

from urllib.parse import unquote

import pytest
from selenium.webdriver.common.by import By

from tests.browser.call_page.page import CallPage
from tests.browser.call_page.test_calls import ON_SHEET, VALVE
from tests.words.test_numbers import CASES

SAID = {"minutes": "minutesText", "shares": "shareText", "factors": "factorText", "plain": "plainText"}


@pytest.mark.parametrize("kind", SAID)
def test_numbers_read_as_on_the_pages(kind: str, page: CallPage) -> None:
    script = f"return arguments[0].map((each) => globalThis.faultleaf.callView.{SAID[kind]}(each))"
    said = page.driver.execute_script(script, [given for given, _ in CASES[kind]])
    assert [text.replace("\u00a0", " ") for text in said] == [words for _, words in CASES[kind]]


def test_signs_of_shares_stay_with_their_numbers_at_the_end_of_a_line(page: CallPage) -> None:
    said = page.driver.execute_script("return [0.2, 0.001, 0.999].map(globalThis.faultleaf.callView.shareText)")
    assert all("\u00a0%" in text for text in said)


def test_limits_read_as_on_the_pages(page: CallPage) -> None:
    said = "[each, globalThis.faultleaf.callView.limitsText(arguments[0], each, arguments[1])]"
    script = f"return Object.keys(arguments[0]).map((each) => {said})"
    for limits, unit, told in CASES["limits"]:
        assert dict(page.driver.execute_script(script, limits, unit)) == told


def test_page_comes_in_few_files(page: CallPage) -> None:
    script = (
        "return [...document.scripts].map((each) => each.src).filter((each) => each.includes('/assets/faultleaf/'))"
    )
    files = [unquote(url).rpartition("/assets/faultleaf/")[2] for url in page.driver.execute_script(script)]
    own = [name for name in files if name.startswith(("js/call", "js/engine", "engine-data", "call-words"))]
    assert own == ["engine-data/shared.js", "call-words/shared.js", "js/call.js"]
    assert not (page.root / "assets/faultleaf/js/call-view").exists(), "no source is shipped twice"


def test_what_was_written_down_last_is_a_short_line(page: CallPage) -> None:
    page.begin("#say=floods")
    assert "Written down: Caution read" not in page.text(), "one of many ticks says nothing of the others"
    page.begin(ON_SHEET)
    page.answer_until(VALVE, "repaired")
    page.repaired()
    assert (
        page.driver.find_element(By.CSS_SELECTOR, ".fl-last span").text
        == "Written down: Repaired: Renew the feeder valve"
    )


def test_tests_that_prove_the_fault_stand_with_what_is_to_be_seen(page: CallPage) -> None:
    page.begin(ON_SHEET)
    done = page.answer_until(VALVE, "repaired")
    prove = page.driver.find_element(By.CSS_SELECTOR, ".fl-prove")
    assert f"✓ {done[-1]}: {VALVE[done[-1]]}" in prove.text
    missing = prove.find_elements(By.CSS_SELECTOR, "[data-key^=prove-]")
    assert missing, "and what could still prove it is a step to take"
    assert not {each.find_element(By.TAG_NAME, "strong").text for each in missing} & set(done)
    lines = [label.text for label in prove.find_elements(By.CSS_SELECTOR, "label")]
    assert lines == ["It rose with the power off", "The bypass is shut"]
    page.press(str(missing[0].get_attribute("data-key")))
    assert page.where()[0] == "step"
    assert page.find("advised"), "from there the way leads back"


def test_other_steps_are_few_in_sight_and_grouped(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.press("outcome-true")
    page.press("others")
    steps = page.driver.find_elements(By.CSS_SELECTOR, "#faultleaf-call [data-step]")
    assert len([each for each in steps if each.is_displayed()]) == 3
    assert len({each.get_attribute("data-step") for each in steps}) > 3, "the others are in folded groups"


def test_ticks_say_what_they_are_about_before_what_to_do(page: CallPage) -> None:
    page.arrive(ON_SHEET)
    ticks = {
        str(each.get_attribute("data-caution")): each.text
        for each in page.driver.find_elements(By.CSS_SELECTOR, ".fl-tick")
    }
    assert list(ticks) == ["never-fire", "scald"]
    assert ticks["never-fire"] == "DANGER Never fire a flooded boiler", "the whole of it stands in the panel above"
    head, _, rest = ticks["scald"].partition("\n")
    assert "Hot water burns" in head
    assert rest
    assert "Where it applies" in page.text()
