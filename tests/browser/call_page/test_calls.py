"""Whole calls by clicks: to a proved repair, to handing on, in an emergency; and what there is beside the steps."""

from datetime import UTC, datetime, timedelta

from faultleaf.cards.urls import call_url, code_url
from selenium.webdriver.common.by import By

from tests.browser.call_page.page import CallPage

VALVE = {
    "Blow down the glass": "Back at once",
    "Hold with the power off": "It climbs past the mark",
    "Listen at the feeder": "Water is heard",
    "Measure the probe": "Reads as wet",
    "Close and tag the bypass": "",
}
ON_SHEET = "#" + code_url("floods", "with a feeder").partition("#")[2]


def test_call_from_typed_words_to_cured(page: CallPage) -> None:
    field = page.driver.find_element(By.ID, "fl-say")
    field.send_keys("fills by itself")
    page.press_text("Callers say")
    assert page.heading() == "Boiler floods"
    page.press("go-on")
    assert page.heading() == "Make safe"
    # Each caution in full: signal word, hazard, consequence, how to avoid (ANSI Z535.6).
    assert "DANGER" in page.text()
    assert "burns the skin" in page.text()
    page.make_safe()
    assert page.heading() == "Does a feeder add the water?"
    page.press("value-automatic")
    page.press("value-null")
    done = page.answer_until(VALVE, "repaired")
    assert done[0] == "Blow down the glass"
    assert page.heading() == "Renew the feeder valve"
    assert "Prove it before you replace it" in page.text()
    assert "MAINS" in page.text().upper()
    page.press("repaired")
    due = page.driver.find_element(By.CSS_SELECTOR, ".fl-due time").get_attribute("datetime")
    late = datetime.fromisoformat(str(due)) - datetime.now(UTC) - timedelta(days=7)
    assert abs(late) < timedelta(minutes=2)
    page.control("cured").click()
    assert "Press again" in page.text(), "a repair is not proved by one press before its time"
    page.press("cured")
    assert page.heading() == "Cured"
    assert "Strainer is missing" in page.text(), "what it comes from is named, so that it stays away"
    page.press("close")
    assert page.heading() == "This job is closed"


def test_still_there_goes_on_and_hands_on_at_last(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.answer_until(VALVE, "repaired")
    page.press("repaired")
    page.press("still-there")
    assert page.heading() != "Renew the feeder valve"
    # Whatever else is proposed cannot be done here, so that handing on is all that is left.
    while page.find("handed-on") is None:
        page.press("cannot")
        page.press("reason-no-tool")
    assert "the licensed firm" in page.text()
    telephone = page.driver.find_element(By.CSS_SELECTOR, ".fl-phone")
    assert telephone.get_attribute("href") == "tel:5550100"
    assert "Still there, after: Renew the feeder valve" in page.text(), "they are told what was done"
    page.press("handed-on")
    assert "Handed on to the licensed firm" in page.text()


def test_emergency_is_made_safe_and_handed_on(page: CallPage) -> None:
    page.open("#say=gas")
    page.press("go-on")
    assert page.heading() == "Make safe"
    page.make_safe()
    assert page.heading() == "Emergency: hand this call on now"
    assert "Call 555 0100" in page.text()
    assert page.find("cannot") is None
    assert page.driver.find_elements(By.CSS_SELECTOR, ".fl-answers") == []


def test_sheet_and_chart_and_former_name_begin_the_call_with_what_they_know(page: CallPage) -> None:
    chart = "#" + call_url("overflows", {"feed": "automatic", "coil": "none", "coil2": "x"}).partition("#")[2]
    for asked in (ON_SHEET, chart):
        page.open(asked)
        assert page.heading() == "Boiler floods"
        assert "2 known" in page.text()
        page.press("go-on")
        page.make_safe()
        assert page.heading() == "Blow down the glass"
        assert "box 1 of" in page.text()
    page.open("#say=__proto__&has=constructor:x")
    assert page.heading() == "Work the call"


def test_reading_picks_the_outcome_and_shows_it_first(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.press("outcome-true")
    page.press("noticed")
    page.driver.find_element(By.ID, "fl-noticed").send_keys("resistance")
    page.press_text("Measure the probe")
    says = page.driver.find_element(By.ID, "fl-reading-says")
    for typed, said in (("4999,9", "Reads as wet"), ("5000", "Reads as dry"), ("5,000", "the comma can mean either"),
                        ("12a", "plain number"), ("-3", "No outcome")):  # fmt: skip
        field = page.driver.find_element(By.ID, "fl-reading")
        field.clear()
        field.send_keys(typed)
        assert said in says.text, typed
    field.clear()
    field.send_keys("7200,5")
    page.press("reading")
    assert "Measure the probe: Reads as dry [7200.5 ohm]" in page.text()
    probe = page.driver.find_element(By.CSS_SELECTOR, "[data-cause=probe]")
    assert "likelier" in probe.text


def test_taking_back_another_step_and_who_change_what_is_next(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.press("outcome-lies")
    after = page.heading()
    page.press("last-back")
    assert page.heading() == "Blow down the glass"
    page.press("outcome-lies")
    assert page.heading() == after
    page.press("others")
    others = page.driver.find_elements(By.CSS_SELECTOR, "#faultleaf-call .fl-choices strong")
    wanted = others[0].text
    page.press_text(wanted)
    assert page.heading() == wanted
    assert "longer on average than the step advised" in page.text()
    page.press("advised")
    assert page.heading() == after
    page.unfold("This job")
    page.press("symptoms")
    page.press("who-owner")
    page.press("go-on")
    # Every step but the first look asks for a higher rank.
    assert page.heading() == "Hand this call on"


def test_second_symptom_and_one_that_is_not_there_count(page: CallPage) -> None:
    page.open(ON_SHEET)
    page.unfold("Something else")
    page.press("there-starves")
    page.press("absent-starves")
    assert page.control("there-starves").get_attribute("aria-pressed") == "false"
    page.press("there-starves")
    page.press("go-on")
    page.make_safe()
    causes = page.driver.find_elements(By.CSS_SELECTOR, "[data-cause]")
    assert causes[0].get_attribute("data-cause") == "probe", "the one that shows as both"


def test_findings_that_fit_no_card_are_said(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.find_what_fits_no_card()
    assert "These findings fit no card" in page.text()
    page.press_text("Again: Blow down the glass")
    assert page.heading() == "Blow down the glass"
    page.back()
    page.press("to-hand-on")
    assert page.heading() == "Hand this call on"


def test_back_button_leads_back_a_screen_and_loses_nothing(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.press("outcome-true")
    here = page.heading()
    page.press("cannot")
    page.back()
    assert page.heading() == here
    assert "Written down: Blow down the glass: Back at once" in page.text()


def test_notice_of_local_code_stands_on_every_screen(page: CallPage) -> None:
    page.begin(ON_SHEET)
    notice = page.driver.find_element(By.CSS_SELECTOR, ".fl-call-notice")
    for key in ("outcome-true", "cannot", "reason-other"):
        page.press(key)
        assert notice.is_displayed()
        assert "The warden looks first." in notice.text
