"""Who can use the page: by keyboard alone, on a small screen, in sun and cellar, with a screen reader (WCAG 2.2 AA)."""

from collections.abc import Iterator
from pathlib import Path

from selenium.webdriver import Chrome, Keys
from selenium.webdriver.common.by import By

from tests.browser.axe import set_scheme
from tests.browser.call_page.page import CallPage
from tests.browser.call_page.test_calls import ON_SHEET, VALVE
from tests.browser.chromium import open_chromium, set_page_size

SMALL_TARGETS = """
return [...document.querySelectorAll("#faultleaf-call :is(button, summary, input, textarea, a)")]
  .filter((each) => each.getClientRects().length > 0 && !(each.tagName === "A" && each.closest("p, li")))
  .map((each) => [each.closest("label") || each, each])
  .filter(([target]) => target.getBoundingClientRect().height < 47.5)
  .map(([, each]) => each.outerHTML.slice(0, 120));
"""
WIDER = "return document.documentElement.scrollWidth - document.documentElement.clientWidth"
CUT_OFF = """
return [...document.querySelectorAll("#faultleaf-call *")].filter((each) => {
  const style = getComputedStyle(each);
  const meant = each.matches("svg, .fl-unseen, .fl-search__unseen, input, textarea, table");
  const clips = style.overflow !== "visible" && !meant;
  return clips && each.scrollHeight > each.clientHeight + 1;
}).map((each) => each.outerHTML.slice(0, 100));
"""
# WCAG 2.1, 1.4.12: line height 1.5, paragraphs 2, letters 0.12, words 0.16 times the type size.
SPACED = """
const sheet = new CSSStyleSheet();
sheet.replaceSync("* { line-height: 1.5 !important; letter-spacing: 0.12em !important; } " +
  "* { word-spacing: 0.16em !important; } p { margin-bottom: 2em !important; }");
document.adoptedStyleSheets = [sheet];
"""


def states(page: CallPage) -> Iterator[str]:
    """Leads through every state of the page and gives each its name."""
    yield from _before(page)
    yield from _worked(page)
    yield from _worksheet(page)
    yield from _stopped_and_named(page)


def _before(page: CallPage) -> Iterator[str]:
    page.open()
    yield "start"
    page.press("danger")
    yield "danger before a symptom"
    page.press("danger-look-empty")
    yield "stop before a symptom"
    page.press("say-first")
    yield "symptom under a stop"
    page.press_text("Boiler floods")
    yield "who is there under a stop"
    page.open()
    yield "jobs to go on with"


def _worksheet(page: CallPage) -> Iterator[str]:
    page.begin(ON_SHEET)
    page.press("outcome-true")
    page.go("others")
    page.unfold()
    page.press_text("Hold with the power off")
    yield "a test that a worksheet works out"
    page.press("work-climb")
    yield "worksheet, nothing filled in"
    page.driver.find_element(By.ID, "in-rise").send_keys("0.3 ± 0.1")
    page.driver.find_element(By.ID, "in-feed").send_keys("shut")
    yield "worksheet, decided within its error"
    page.press("take")
    page.go("report")
    yield "report with a worksheet"


def _worked(page: CallPage) -> Iterator[str]:
    page.open()
    page.driver.find_element(By.ID, "fl-say").send_keys("fills by itself, no feeder")
    page.driver.find_element(By.CSS_SELECTOR, "[data-chip]").send_keys(Keys.ENTER)
    yield "typed"
    page.driver.find_element(By.ID, "fl-say").send_keys(" no water in the glass")
    yield "danger heard"
    page.open(ON_SHEET)
    page.unfold()
    yield "symptoms"
    page.press("who-licensed")
    page.press("go-on")
    yield "make safe"
    page.make_safe()
    yield "first test"
    page.unfold()
    yield "all unfolded"
    for key, name in (("cannot", "cannot"), ("noticed", "noticed"), ("danger", "danger")):
        page.press(key)
        yield name
        page.back()
    page.press("noticed")
    page.press_text("Measure the probe")
    yield "reading"
    page.driver.find_element(By.ID, "fl-reading").send_keys("1,000")
    yield "reading refused"
    page.press("outcome-low")
    page.press("outcome-true")
    yield "second step"
    page.press("others")
    page.unfold()
    yield "others"
    page.press_text("Hold over a night")
    yield "hold"
    page.press("advised")
    page.answer_until(VALVE, "repaired")
    yield "repair"
    page.repaired()
    yield "proof"
    page.click(page.control("cured"))
    page.press("cured")
    yield "cured"
    for at in ("report", "customer", "about", "jobs", "hand-on"):
        page.go(at)
        yield at
    page.begin("#say=floods")
    yield "what is fitted"
    page.begin(ON_SHEET)
    page.find_what_fits_no_card()
    yield "fits no card"


def _stopped_and_named(page: CallPage) -> Iterator[str]:
    page.begin("#say=gas", "owner")
    yield "emergency"
    page.begin(ON_SHEET)
    page.press("danger")
    page.press("danger-look-empty")
    page.unfold()
    yield "stop"
    page.press("allowed-cold-look")
    yield "allowed by a stop"
    page.press("outcome-cracked")
    yield "nothing allowed by a stop"
    page.press("handed-on")
    yield "ended under a stop"
    page.begin(ON_SHEET, "technician")
    page.press("outcome-true")
    page.press("outcome-heard")
    yield "cause can be named"
    page.press("named")
    yield "cause named"


LOOKS = [(width, height, scheme) for width, height in ((390, 844), (1280, 900)) for scheme in ("fl-light", "fl-dark")]


def test_axe_finds_nothing_in_any_state_on_phone_and_desk_by_day_and_night(page: CallPage) -> None:
    found: dict[str, list[str]] = {}
    for state in states(page):
        for width, height, scheme in LOOKS:
            set_page_size(page.driver, width, height)
            set_scheme(page.driver, scheme)
            found[f"{state}, {width} px, {scheme}"] = page.violations()
        set_page_size(page.driver, 390, 844)
    assert len(found) > 4 * 33
    assert {state: wrong for state, wrong in found.items() if wrong} == {}


def test_targets_are_large_and_nothing_scrolls_sideways_or_is_cut(call_site: Path) -> None:
    # House rule: 48 px for wet fingers. WCAG 2.1, 1.4.10 (320 px) and 1.4.12 (text spacing).
    with open_chromium(320, 640) as driver:
        page = CallPage(driver, call_site)
        wrong: dict[str, object] = {}
        for state in states(page):
            small, wide = driver.execute_script(SMALL_TARGETS), driver.execute_script(WIDER)
            driver.execute_script(SPACED)
            spaced, cut = driver.execute_script(WIDER), driver.execute_script(CUT_OFF)
            driver.execute_script("document.adoptedStyleSheets = []")
            if small or wide > 0 or spaced > 0 or cut:
                wrong[state] = (small, wide, spaced, cut)
        assert wrong == {}


def test_call_by_keyboard_alone(page: CallPage) -> None:
    page.driver.find_element(By.TAG_NAME, "body").send_keys(Keys.TAB)
    page.until("return document.readyState === 'complete'")
    page.driver.execute_script("document.querySelector('#fl-call-title').focus()")
    page.driver.switch_to.active_element.send_keys(Keys.TAB, "fills by itself", Keys.TAB)
    page.keys(Keys.ENTER)
    assert page.heading() == "Boiler floods"
    assert _focused(page.driver) == "fl-call-title", "each screen gives the focus to its heading"
    page.tab_to("who-licensed")
    page.keys(Keys.ENTER)
    page.tab_to("go-on")
    page.keys(Keys.ENTER)
    for caution in ("never-fire", "scald"):
        page.tab_to(f"safe-{caution}")
        page.driver.switch_to.active_element.send_keys(Keys.SPACE)
    page.tab_to("safe")
    page.keys(Keys.ENTER)
    page.keys("1")
    page.keys("1")
    said = page.driver.find_element(By.CSS_SELECTOR, ".fl-unseen[role=status]").get_attribute("textContent")
    assert "Now: Blow down the glass." in str(said), "the next step is announced"
    while page.find("repaired") is None:
        page.keys(str(list(page_outcomes(page)).index(VALVE[page.heading()]) + 1))
    page.tab_to("repaired")
    page.driver.switch_to.active_element.send_keys(Keys.ENTER)
    page.keys(Keys.ENTER)
    page.tab_to("cured")
    page.driver.switch_to.active_element.send_keys(Keys.ENTER)
    page.keys(Keys.ENTER)
    assert page.heading() == "It holds so far"


def test_number_keys_can_be_switched_off(page: CallPage) -> None:
    # WCAG 2.1, 2.1.4: a shortcut of one character can be turned off.
    page.begin(ON_SHEET)
    page.unfold("This job")
    page.click(page.driver.find_element(By.ID, "fl-digits"))
    before = page.heading()
    page.driver.find_element(By.TAG_NAME, "body").send_keys("1")
    assert page.heading() == before
    assert "Written down: Blow" not in page.text()


def page_outcomes(page: CallPage) -> list[str]:
    """The answers in their order, as their buttons say them."""
    buttons = page.driver.find_elements(By.CSS_SELECTOR, ".fl-answers button > span:last-child")
    return [button.text.partition("\n")[0] for button in buttons]


def _focused(driver: Chrome) -> str:
    return str(driver.switch_to.active_element.get_attribute("id"))
