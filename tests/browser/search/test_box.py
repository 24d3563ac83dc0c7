"""The box and what is found: keyboard, pointer, screen reader, hostile input, phone; and its files."""

from pathlib import Path

import pytest
from selenium.webdriver import Chrome, Keys
from selenium.webdriver.common.by import By
from selenium.webdriver.support.wait import WebDriverWait

from tests.browser.chromium import console_errors, open_chromium
from tests.browser.search.search_page import (
    ASSETS,
    HOSTILE_TITLE,
    chip,
    field,
    press,
    results,
    set_text,
    small_library,
    status,
    titles,
)


def test_box_is_a_field_with_a_name(page: Chrome) -> None:
    assert field(page).aria_role == "searchbox"
    assert field(page).accessible_name == "Say what is wrong, or search"
    assert not page.find_element(By.CSS_SELECTOR, ".fl-search__panel").is_displayed()


def test_whole_way_by_keyboard(page: Chrome, site: Path) -> None:
    press(page, "/", "vents spitting", Keys.ARROW_DOWN)
    assert field(page).get_attribute("value") == "vents spitting"
    assert page.switch_to.active_element == results(page)[0]
    press(page, Keys.ARROW_UP)
    assert page.switch_to.active_element == field(page)
    press(page, Keys.ARROW_DOWN, Keys.ENTER)
    WebDriverWait(page, 5).until(lambda d: d.current_url == (site / "symptoms/vents-spit.html").as_uri())


def test_enter_opens_the_first(page: Chrome, site: Path) -> None:
    press(page, "/", "guage glas", Keys.ENTER)
    WebDriverWait(page, 5).until(lambda d: d.current_url == (site / "components/gauge-glass.html").as_uri())


def test_arrows_go_round(page: Chrome) -> None:
    press(page, "/", "wobble", Keys.ARROW_UP)
    assert page.switch_to.active_element == page.find_elements(By.CSS_SELECTOR, "#faultleaf-search a")[-1]
    press(page, Keys.ARROW_DOWN)
    assert page.switch_to.active_element == field(page)


def test_escape_closes_then_empties(page: Chrome) -> None:
    press(page, "/", "wobble", Keys.ARROW_DOWN, Keys.ESCAPE)
    assert not results(page)[0].is_displayed()
    assert field(page).get_attribute("value") == "wobble"
    assert page.switch_to.active_element == field(page)
    press(page, Keys.ESCAPE)
    assert field(page).get_attribute("value") == ""


def test_leaving_the_box_closes_it(page: Chrome) -> None:
    press(page, "/", "qzxqzx")
    page.execute_script("document.getElementById('after').focus()")
    assert not page.find_element(By.CSS_SELECTOR, ".fl-search__panel").is_displayed()


def test_symptom_comes_first_with_the_call_beside_it(page: Chrome) -> None:
    set_text(page, "water coming out of the radiator vents")
    assert titles(page, "symptoms") == ["Boiler fills past the top of the glass"]
    first = results(page)[0]
    assert (
        first.find_element(By.CSS_SELECTOR, ".fl-search__why").text
        == "Callers say: water comes out of the radiator vents"
    )
    begin = page.find_element(By.CSS_SELECTOR, "[data-symptom=boiler-overfills] .fl-search__begin")
    assert str(begin.get_property("href")).endswith("/work-the-call.html#say=boiler-overfills")
    assert begin.accessible_name == "Work the call: Boiler fills past the top of the glass"


def test_chips_enter_the_call_once_they_are_pressed(page: Chrome) -> None:
    press(page, "/", "the glass is full to the top, no feeder")
    assert chip(page, "feed:manual").get_attribute("aria-pressed") == "false"
    chip(page, "feed:manual").click()
    assert chip(page, "feed:manual").get_attribute("aria-pressed") == "true"
    assert page.switch_to.active_element == chip(page, "feed:manual")
    begin = page.find_element(By.CSS_SELECTOR, "[data-symptom=boiler-overfills] .fl-search__begin")
    assert str(begin.get_property("href")).endswith("#say=boiler-overfills&has=feed%3Amanual")
    chip(page, "feed:manual").send_keys(Keys.ENTER)
    assert chip(page, "feed:manual").get_attribute("aria-pressed") == "false"


def test_danger_comes_before_everything_with_what_to_do_and_whom_to_call(page: Chrome) -> None:
    press(page, "/", "no water in the glass, the radiator vents spit")
    panel = page.find_element(By.CSS_SELECTOR, "#faultleaf-search .fl-search__panel")
    first = panel.find_element(By.CSS_SELECTOR, ":scope > *")
    assert first.get_attribute("data-danger") == "glass-look=empty"
    for words in ("STOP. Scalding water", "No water is seen", "Let it cool", "Call a plumber of boilers."):
        assert words in first.text
    stop = first.find_element(By.TAG_NAME, "a").get_property("href")
    assert str(stop).endswith("/work-the-call.html#found=glass-look%3Aempty")
    status(page, "Stop. Scalding water. Let it cool It sounds like: Radiator vents spit. 4 pages.")


def test_denied_danger_is_none(page: Chrome) -> None:
    set_text(page, "there is water in the glass, the boiler did not run dry")
    assert page.find_elements(By.CSS_SELECTOR, "[data-danger]") == []


def test_nothing_fits_is_said_with_the_list_of_symptoms(page: Chrome) -> None:
    press(page, "/", "my dishwasher is full")
    status(page, "Nothing fits these words. The list of what the site knows follows.")
    assert titles(page, "nothing") == [card.title for card in small_library().symptoms.values()]


def test_part_that_is_asked_for_comes_before_symptoms(page: Chrome) -> None:
    set_text(page, "where is the sight glass")
    assert titles(page, "asked") == ["Gauge glass"]


def test_slash_in_another_field_is_a_letter(page: Chrome) -> None:
    other = page.find_element(By.ID, "other")
    other.send_keys("1/2")
    assert other.get_attribute("value") == "1/2"


def test_only_the_last_of_quick_typing_is_announced_politely(page: Chrome) -> None:
    script = """window.spoken = [];
        const place = document.querySelector("#faultleaf-search [role=status]");
        new MutationObserver(() => window.spoken.push(place.textContent)).observe(place, {childList: true});
        return place.ariaLive;"""
    assert page.execute_script(script) == "polite"
    for text in ("wobble", "water", "skimming"):
        set_text(page, text)
    status(page, "You ask about: Skimming. 1 page.")
    assert page.execute_script("return window.spoken") == ["You ask about: Skimming. 1 page."]
    set_text(page, "")
    status(page, "")


def test_pointer_opens_a_result(page: Chrome, site: Path) -> None:
    set_text(page, "hand bypass")
    results(page)[0].click()
    WebDriverWait(page, 5).until(lambda d: d.current_url == (site / "faults/bypass-open.html").as_uri())


def test_results_at_the_root_of_the_site_lead_there_too(page: Chrome, site: Path) -> None:
    page.get((site / "index-of-troubles.html").as_uri())
    set_text(page, "hand bypass")
    assert results(page)[0].get_property("href") == (site / "faults/bypass-open.html").as_uri()


@pytest.mark.parametrize(
    "text",
    ["<img src=x onerror=window.broken=1>", "\"'`--></script>", "שלום \u202e עולם", "x" * 500, "the of",
     "${alert(1)}", "javascript:window.broken=1"],
)  # fmt: skip
def test_hostile_question_is_only_text(page: Chrome, text: str) -> None:
    set_text(page, text)
    root = page.find_element(By.ID, "faultleaf-search")
    assert root.find_elements(By.CSS_SELECTOR, "img, script") == []
    assert page.find_element(By.CSS_SELECTOR, ".fl-search__panel").is_displayed()


def test_hostile_title_is_only_text(page: Chrome) -> None:
    set_text(page, "zebra")
    assert results(page)[0].find_element(By.CSS_SELECTOR, ".fl-search__title").text == HOSTILE_TITLE
    root = page.find_element(By.ID, "faultleaf-search")
    assert root.find_elements(By.CSS_SELECTOR, "img, script, b") == []


def test_two_fields_on_a_page_keep_apart(page: Chrome, site: Path) -> None:
    page.get((site / "pages/two.html").as_uri())
    all_ids = [each.get_attribute("id") for each in page.find_elements(By.CSS_SELECTOR, "[id]")]
    assert len(all_ids) == len(set(all_ids))
    large = page.find_element(By.CSS_SELECTOR, ".faultleaf-search textarea")
    assert large.accessible_name == "What is wrong? Say it in your own words"
    large.send_keys("wobble")
    assert results(page) == []
    assert len(page.find_elements(By.CSS_SELECTOR, ".faultleaf-search .fl-search__result")) == 3


@pytest.mark.parametrize("dark", [False, True])
def test_phone_of_320_px(site: Path, dark: bool) -> None:
    with open_chromium(320, 640, dark) as phone:
        phone.get((site / "pages/one.html").as_uri())
        set_text(phone, "water glass feeder")
        widths = phone.execute_script("return [document.documentElement.scrollWidth, innerWidth]")
        assert widths == [320, 320]
        targets = [field(phone), *results(phone)]
        assert all(target.rect["height"] >= 44 for target in targets)
        assert all(t.rect["x"] >= 0 and t.rect["x"] + t.rect["width"] <= 320 for t in targets)
        panel = phone.find_element(By.CSS_SELECTOR, ".fl-search__panel")
        paper = "rgba(20, 23, 26, 1)" if dark else "rgba(255, 255, 255, 1)"
        assert panel.value_of_css_property("background-color") == paper
        set_text(phone, "qzxqzx")
        assert phone.find_element(By.LINK_TEXT, "troubleshooting index").rect["height"] >= 44
        assert console_errors(phone) == ()


def test_borrowed_code_keeps_its_licence() -> None:
    for name in ("minisearch", "stemmer"):
        licence = (ASSETS / f"js/vendor/{name}.LICENSE.txt").read_text(encoding="utf-8")
        assert "Permission is hereby granted, free of charge" in licence
        head = (ASSETS / f"js/vendor/{name}.js").read_text(encoding="utf-8")[:400]
        assert "MIT licence" in head
        assert "changed:" in head
