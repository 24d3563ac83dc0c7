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
    "Hold over a night, bypass shut": "It climbed",
    "Close and tag the bypass": "",
}
ON_SHEET = "#" + code_url("floods", "with a feeder").partition("#")[2]


def test_what_was_heard_and_confirmed_is_entered_as_the_call_begins(page: CallPage) -> None:
    page.driver.find_element(By.ID, "fl-say").send_keys("no feeder, it fills by itself and you hear it run")
    for chip in ("feed:manual", "listen:heard"):
        page.driver.find_element(By.CSS_SELECTOR, f'[data-chip="{chip}"]').click()
    page.click(page.driver.find_element(By.CSS_SELECTOR, "[data-symptom=floods] a"))
    assert page.heading() == "Boiler floods"
    assert "What is fitted: 1 known" in page.text()
    page.press("who-licensed")
    page.press("go-on")
    page.go("report")
    assert "Filled by hand" in page.text()
    assert "Listen at the feeder: Water is heard" in page.text()


def test_danger_that_is_heard_stops_the_call_before_it_begins(page: CallPage) -> None:
    page.driver.find_element(By.ID, "fl-say").send_keys("theres no water in the glass, it fills by itself")
    first = page.driver.find_element(By.CSS_SELECTOR, "#faultleaf-call .fl-search__panel > *")
    assert first.get_attribute("data-danger") == "look=empty"
    page.click(first.find_element(By.TAG_NAME, "a"))
    assert page.where()[0] == "stop"
    page.press("say-first")
    page.driver.find_element(By.ID, "fl-say").send_keys("fills by itself")
    page.click(page.driver.find_element(By.CSS_SELECTOR, "[data-symptom=floods] a"))
    assert "STOP still holds" in page.text()


def test_call_from_typed_words_to_cured(page: CallPage) -> None:
    field = page.driver.find_element(By.ID, "fl-say")
    field.send_keys("fills by itself")
    page.click(page.driver.find_element(By.CSS_SELECTOR, "[data-symptom=floods] a"))
    assert page.heading() == "Boiler floods"
    page.click(page.control("go-on"))
    assert page.heading() == "Boiler floods", "first somebody says who is there"
    assert "who is at the call" in page.text()
    page.press("who-licensed")
    page.press("go-on")
    assert page.heading() == "Make safe"
    # Each caution in full: signal word, hazard, consequence, how to avoid (ANSI Z535.6).
    assert "DANGER" in page.text()
    assert "burns the skin" in page.text()
    page.click(page.control("safe"))
    assert "2 of 2 left" in page.text(), "each is ticked at its own place"
    page.make_safe()
    assert page.heading() == "Does a feeder add the water?"
    page.press("value-automatic")
    page.press("value-null")
    done = page.answer_until(VALVE, "repaired")
    assert done[0] == "Blow down the glass"
    assert page.heading() == "Renew the feeder valve"
    assert "Prove it before you replace it" in page.text()
    assert "Lock it off" in page.text(), "every caution of the repair"
    assert f"✓ {done[-1]}: {VALVE[done[-1]]}" in page.text(), "the last thing found speaks for it"
    page.click(page.control("repaired"))
    assert "2 not ticked above" in page.text(), "no part is changed unproved by one press"
    page.repaired()
    page.go("report")
    assert "seen to be so before: It rose with the power off; The bypass is shut" in page.text()
    page.back()
    due = page.driver.find_element(By.CSS_SELECTOR, ".fl-due time").get_attribute("datetime")
    late = datetime.fromisoformat(str(due)) - datetime.now(UTC) - timedelta(days=7)
    assert abs(late) < timedelta(minutes=2)
    page.click(page.control("cured"))
    assert "Press again" in page.text(), "nothing is said to hold by one press before its time"
    page.press("cured")
    assert page.heading() == "It holds so far", "and nothing is cured before the last look"
    assert "Strainer is missing" in page.text(), "what it comes from is named, so that it stays away"
    page.press("close")
    assert page.heading() == "This job is closed"


def test_still_there_goes_on_and_hands_on_at_last(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.answer_until(VALVE, "repaired")
    page.repaired()
    page.press("still-there")
    assert page.heading() != "Renew the feeder valve"
    # Whatever else is proposed cannot be done here, so that handing on is all that is left.
    while page.find("handed-on") is None:
        page.press("cannot")
        page.press("reason-no-tool")
    assert "the licensed firm" not in page.text(), "nobody is told to call his own rank"
    assert "Give it to another firm" in page.text()
    assert "Still there, after: Renew the feeder valve" in page.text(), "they are told what was done"
    page.press("handed-on")
    assert page.heading() == "Ended: handed on"
    assert "No cause was named" in page.text()


def test_emergency_is_made_safe_and_handed_on(page: CallPage) -> None:
    page.arrive("#say=gas", "owner")
    assert page.heading() == "Make safe"
    page.make_safe()
    assert page.heading() == "Emergency: hand this call on now"
    assert "Call 555 0100" in page.text()
    assert page.find("cannot") is None
    assert [page.find(key) for key in ("noticed", "others")] == [None, None]
    assert page.driver.find_elements(By.CSS_SELECTOR, ".fl-answers") == []


def test_sheet_and_chart_and_former_name_begin_the_call_with_what_they_know(page: CallPage) -> None:
    chart = "#" + call_url("overflows", {"feed": "automatic", "coil": "none", "coil2": "x"}).partition("#")[2]
    for asked in (ON_SHEET, chart):
        page.open(asked)
        assert page.heading() == "Boiler floods"
        assert "2 known" in page.text()
        page.press("who-licensed")
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
    page.press("outcome-true")
    after = page.heading()
    page.press("last-back")
    assert page.heading() == "Blow down the glass"
    page.press("outcome-true")
    assert page.heading() == after
    page.press("others")
    assert page.driver.find_elements(By.CSS_SELECTOR, "#faultleaf-call details[open]") == [], "groups are folded"
    page.unfold()
    wanted = page.driver.find_element(By.CSS_SELECTOR, "#faultleaf-call details[open] .fl-choices strong").text
    page.press_text(wanted)
    assert page.heading() == wanted
    assert "for this step" in page.text()
    page.press("advised")
    assert page.heading() == after
    page.unfold("This job")
    page.press("symptoms")
    page.press("who-owner")
    page.press("go-on")
    # Every step but the first look asks for a higher rank: the likeliest cause is named for others to repair.
    assert page.where()[0] == "name"


def test_second_symptom_and_one_that_is_not_there_count(page: CallPage) -> None:
    page.open(ON_SHEET)
    page.unfold("Something else")
    page.press("there-starves")
    page.press("absent-starves")
    assert page.control("there-starves").get_attribute("aria-pressed") == "false"
    page.press("there-starves")
    page.press("who-licensed")
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


def answered(page: CallPage, asked: str, who: str, *answers: str) -> None:
    """A call up to a step, with these answers; nobody knows what is fitted."""
    page.begin(asked, who)
    while page.find("value-null"):
        page.press("value-null")
    for answer in answers:
        page.press(f"outcome-{answer}")


def test_hold_says_who_reads_it_and_what_waits_the_same_night(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.press("outcome-true")
    page.press("others")
    page.unfold("Look, listen, feel")
    page.press_text("Hold over a night")
    assert "The owner can read this" in page.text()
    page.press("also-hold")
    assert page.heading() == "Hold with the power off"
    assert page.control("also-night")


def test_other_step_is_reached_from_the_screen_that_hands_on(page: CallPage) -> None:
    answered(page, "#say=knocks", "apprentice")
    assert page.where()[0] == "hand-on"
    assert page.heading() == "Show this to your technician"
    page.press("others")
    page.unfold("Measure")
    page.press_text("Measure the header")
    assert page.heading() == "Measure the header"
    page.press("advised")
    assert page.heading() == "Show this to your technician"
    page.press("others")
    page.unfold("Measure")
    page.press_text("Measure the header")
    page.press("outcome-small")
    assert "Measure the header: Too narrow" in page.text(), "and it leads on"


def test_one_panel_stands_before_an_act_and_it_is_the_gravest(page: CallPage) -> None:
    page.begin(ON_SHEET)
    page.answer_until(VALVE, "repaired")
    panels = page.driver.find_elements(By.CSS_SELECTOR, ".fl-caution")
    assert [panel.get_attribute("data-caution") for panel in panels] == ["scald"]
    lines = page.driver.find_elements(By.CSS_SELECTOR, ".fl-again li")
    assert [line.get_attribute("data-caution") for line in lines] == ["mains"]


def test_odd_addresses_open_the_call(page: CallPage) -> None:
    page.begin(ON_SHEET)
    job = page.driver.execute_script("return location.hash.split('&')[0]")
    for odd in ("&at=cannot", "&at=cannot&step=gone", "&at=cannot&step=__proto__", "&step=gone", "&at=constructor",
                "&at=noticed&step=gone", "&at=danger&step=x", "&at=hand-on", "&at=others"):  # fmt: skip
        page.open(f"{job}{odd}")
        assert page.heading() != "This call cannot be shown", odd
        assert page.where() == ("step", "glass"), odd
    page.open(f"{job}&at=cannot")
    assert page.heading() == "Blow down the glass"


def test_presses_while_another_job_is_loaded_go_nowhere(page: CallPage) -> None:
    """Job B's data never come: whatever is pressed on the screen of job A, which still stands, is written nowhere."""
    page.begin("#say=starves")
    slow = page.driver.execute_script("return location.hash")
    page.begin(ON_SHEET)
    page.open(page.driver.execute_script("return location.hash"))
    kept = "return Object.entries(localStorage).filter(([key]) => key.startsWith('faultleaf-job:')).sort()"
    before = page.driver.execute_script(kept)
    page.driver.execute_script(
        "const append = document.head.append.bind(document.head);"
        "document.head.append = (...nodes) => append(...nodes.filter((node) => !String(node.src).includes('starves')));"
    )
    page.driver.execute_script("location.hash = arguments[0]", slow)
    page.until("return location.hash === " + repr(slow))
    for key in ("outcome-true", "last-back", "danger", "cannot"):
        page.click(page.control(key))
    page.driver.find_element(By.TAG_NAME, "body").send_keys("1")
    assert page.driver.execute_script(kept) == before
    assert page.driver.execute_script("return location.hash") == slow
