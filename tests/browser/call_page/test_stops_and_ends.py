"""A danger stops the call wherever it stands; and its three ends: cured and proved, cause named, handed on."""

from datetime import datetime, timedelta

from selenium.webdriver.common.by import By

from tests.browser.call_page.page import CallPage
from tests.browser.call_page.test_calls import ON_SHEET, VALVE, answered


def test_stop_fills_the_screen_and_leaves_what_it_allows(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.press("danger")
    page.press("danger-look-empty")
    assert page.where()[0] == "stop"
    tall = page.driver.execute_script("return document.querySelector('.fl-stop').getBoundingClientRect().height")
    assert tall >= 844 - 16
    for words in ("STOP", "DANGER", "Dry boiler", "No water is seen", "Shut off the fuel", "Add no water", "Keep out"):
        assert words in page.text()
    assert "Causes still in play" not in page.text()
    assert [page.find(key) for key in ("cannot", "noticed", "others", "repaired", "danger")] == [None] * 5
    for at in ("noticed", "others", "hand-on", "cannot"):
        page.go(at)
        assert page.where()[0] == "stop"
        assert page.driver.find_elements(By.CSS_SELECTOR, ".fl-stop"), f"no way round it by {at}"
    page.press("allowed-cold-look")
    assert page.heading() == "Look it over cold"
    assert "STOP still holds: Dry boiler" in page.text()
    assert "Causes still in play" not in page.text()
    assert [page.find(key) for key in ("noticed", "others")] == [None, None]
    page.press("outcome-sound")
    assert page.heading() == "Blow down the glass", "the cold look has lifted it"


def test_stop_is_handed_on_and_holds_or_is_taken_back(page: CallPage) -> None:
    page.begin(ON_SHEET, "technician")
    page.press("danger")
    page.press("danger-look-empty")
    assert "Nothing else may be done" in page.text(), "the cold look is for the licensed"
    assert "The licensed firm, and say that it was empty" in page.text()
    assert page.driver.find_element(By.CSS_SELECTOR, ".fl-stop .fl-phone").get_attribute("href") == "tel:5550100"
    page.unfold("mistake")
    page.press("stop-back")
    assert page.heading() == "Blow down the glass"
    page.press("danger")
    page.press("danger-smell-gas")
    assert "The fire service, from outside." in page.text()
    page.press("handed-on")
    assert page.heading() == "Ended: handed on"
    assert "Handed on to the fire service." in page.text()
    assert "STOP still holds: Leave the house" in page.text()
    page.go("report")
    assert "Stopped for danger" in page.text()
    assert "Gas is smelled" in page.text()


def test_danger_is_in_reach_on_every_screen_of_a_call(page: CallPage) -> None:
    page.open(ON_SHEET)
    seen = []

    def reach() -> None:
        page.driver.execute_script("scrollTo(0, 0)")
        bar = page.control("danger").rect
        top = bar["y"] - page.driver.execute_script("return scrollY")
        assert 0 <= top <= 844 - bar["height"], page.heading()
        seen.append(page.heading())

    reach()
    page.press("who-licensed")
    page.press("go-on")
    reach()
    page.make_safe()
    reach()
    for key in ("cannot", "noticed"):
        page.press(key)
        reach()
        page.back()
    page.press("outcome-true")
    page.press("others")
    reach()
    page.back()
    page.answer_until(VALVE, "repaired")
    reach()
    page.repaired()
    reach()
    page.click(page.control("cured"))
    page.press("cured")
    reach()
    assert len(set(seen)) == 9


def test_a_danger_seen_before_anything_was_said_stops_and_is_kept(page: CallPage) -> None:
    page.press("danger")
    assert page.heading() == "Danger seen?"
    page.press("no-danger")
    assert page.heading() == "Work the call"
    assert page.stored() == []
    page.press("danger")
    page.press("danger-look-empty")
    assert page.where()[0] == "stop"
    assert "Shut off the fuel" in page.text()
    assert len(page.stored()) == 1, "whatever happens to the telephone now"
    page.press("say-first")
    assert page.heading() == "What does the boiler do?"
    assert "STOP still holds: Dry boiler" in page.text()
    page.press_text("Boiler floods")
    assert "STOP still holds: Dry boiler" in page.text()
    page.press("who-licensed")
    page.press("go-on")
    assert page.where()[0] == "stop", "nothing comes before it"
    assert page.control("allowed-cold-look")
    assert "it is yours to make safe" in page.text()
    assert "Say that it was empty" not in page.text(), "nobody tells himself"
    page.go("report")
    assert "Stopped for danger" in page.text()
    assert len(page.stored()) == 1


def test_a_danger_is_handed_on_without_any_symptom(page: CallPage) -> None:
    page.press("danger")
    page.press("danger-smell-gas")
    page.press("handed-on")
    assert page.heading() == "Ended: handed on"
    assert "STOP still holds: Leave the house" in page.text()
    for screen in ("report", "customer"):
        page.go(screen)
        assert "Gas is smelled" in page.text()
        page.back()
    page.press("close")
    assert page.heading() == "This job is closed"
    page.go("jobs")
    assert "Danger seen: Gas is smelled" in page.text()
    page.open()
    page.press("danger")
    page.press("danger-look-empty")
    page.unfold("mistake")
    page.press("stop-back")
    assert page.heading() == "What does the boiler do?", "taken back, the call is an ordinary one"
    page.press_text("Boiler floods")
    assert "STOP" not in page.text()


def test_whoever_takes_over_is_told_what_was_found(page: CallPage) -> None:
    page.arrive("#say=gas", "owner")
    page.make_safe()
    page.driver.find_element(By.CSS_SELECTOR, ".fl-tell")
    assert "Seen: Smell of gas" in page.text()
    # What no cause at all can show: no coil, and a leak through the coil is all that is left of such calls.
    page.begin(ON_SHEET)
    page.find_what_fits_no_card()
    page.press("to-hand-on")
    told = page.driver.find_element(By.CSS_SELECTOR, ".fl-tell").text
    for said in ("Seen: Boiler floods", "Blow down the glass: It creeps", "Measure the probe: Reads as dry"):
        assert said in told


def test_a_danger_stops_a_proof_that_is_running(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.answer_until(VALVE, "repaired")
    page.repaired()
    page.press("danger")
    page.press("danger-look-empty")
    assert page.where()[0] == "stop"
    assert page.find("cured") is None


def test_cause_is_named_for_who_may_repair_it(page: CallPage) -> None:
    page.begin(ON_SHEET, "technician")
    page.press("outcome-true")
    page.press("outcome-heard")
    assert (page.where()[0], page.heading()) == ("name", "Feeder valve passes")
    assert "The repair: Renew the feeder valve." in page.text()
    assert "It is work for: Licensed." in page.text()
    assert page.find("repaired") is None
    page.press("named")
    assert page.heading() == "Ended: cause named"
    assert "Repair left to the licensed firm: Renew the feeder valve" in page.text()
    page.go("report")
    assert "Cause named: Feeder valve passes." in page.text()
    page.back()
    page.press("repaired")
    assert page.where()[0] == "proof", "once others have repaired it, the call goes on to its proof"
    page.press("last-back")
    assert page.heading() == "Ended: cause named"
    page.go("customer")
    assert "The cause was found: Feeder valve passes." in page.text()
    assert "Nothing was replaced." in page.text()


def test_job_to_quote_ends_with_its_cause_named_by_who_could_repair_it(page: CallPage) -> None:
    answered(page, "#say=starves", "licensed", "true", "small")
    assert (page.where()[0], page.heading()) == ("name", "Header is too small")
    assert "a job to quote" in page.text()
    assert "the licensed firm" not in page.text()


def test_apprentice_gets_a_look_and_something_to_show(page: CallPage) -> None:
    answered(page, "#say=starves", "apprentice", "true")
    assert page.heading() == "Measure the header", "a safe look and not the end"
    page.press("outcome-small")
    assert page.control("named")
    assert page.driver.find_element(By.ID, "fl-to").get_attribute("value") == "your technician"
    page.press("others")
    page.unfold("Hand the call on")
    page.press_text("Hand the call on")
    assert page.heading() == "Show this to your technician"
    page.press("advised")
    assert page.where()[0] == "name"


def test_lying_glass_is_mended_before_anything_else(page: CallPage) -> None:
    answered(page, "#say=starves", "licensed", "lies")
    assert page.heading() == "Open the cock"
    assert "Mend first" in page.text()
    page.press("repaired")
    assert page.control("still-there").text == "Mended: on with the call"
    page.press("still-there")
    assert page.heading() == "Measure the header"
    page.go("report")
    assert "Mended, and the call went on: Open the cock" in page.text()


def test_nothing_is_said_to_be_done_that_was_not(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.answer_until(VALVE, "repaired")
    page.repaired()
    page.click(page.control("cured"))
    page.press("cured")
    closing = str(page.control("close").get_attribute("class"))
    assert "fl-do--quiet" in closing, "a job whose proof still runs is not to be closed by the largest button"
    due = (datetime.now() + timedelta(days=7)).strftime("%B %-d, %Y")
    for screen in ("report", "customer"):
        page.go(screen)
        text = page.text()
        assert f"the proof runs to {(datetime.now() + timedelta(days=7)).strftime('%A')}, {due}" in text, text
        for wrong in ("proved to hold", "Made safe", "Cured"):
            assert wrong not in text
    assert "The valve that feeds the boiler had not closed any more. Repaired today" in text
    assert "gas" not in text.lower(), "nobody found any"
    page.go("report")
    assert "Cautions read" in page.text()
