"""The search field and its list: keyboard, pointer, screen reader, hostile input, phone; and its files."""

from pathlib import Path

import pytest
from selenium.webdriver import ActionChains, Chrome, Keys
from selenium.webdriver.common.by import By
from selenium.webdriver.support.wait import WebDriverWait

from tests.browser.chromium import console_errors, open_chromium
from tests.browser.search.search_page import ASSETS, HOSTILE_TITLE, field, options, press, set_text, status


def test_field_is_a_combobox_with_a_name(page: Chrome) -> None:
    assert field(page).aria_role == "combobox"
    assert field(page).accessible_name == "Search faults, tests and what callers say"
    assert field(page).get_attribute("aria-expanded") == "false"
    listbox = page.find_element(By.ID, str(field(page).get_attribute("aria-controls")))
    assert listbox.get_attribute("role") == "listbox"
    assert not listbox.is_displayed()


def test_whole_way_by_keyboard(page: Chrome, site: Path) -> None:
    press(page, "/", "vents", Keys.ARROW_DOWN)
    assert field(page).get_attribute("value") == "vents"
    assert field(page).get_attribute("aria-expanded") == "true"
    chosen = page.find_element(By.ID, str(field(page).get_attribute("aria-activedescendant")))
    assert chosen.get_attribute("aria-selected") == "true"
    assert chosen.aria_role == "option"
    assert chosen == options(page)[0]
    press(page, Keys.ARROW_DOWN)
    assert [each.get_attribute("aria-selected") for each in options(page)].index("true") == 1
    press(page, Keys.ARROW_UP, Keys.ENTER)
    WebDriverWait(page, 5).until(lambda d: d.current_url == (site / "symptoms/vents-spit.html").as_uri())


def test_enter_without_a_choice_opens_the_nearest(page: Chrome, site: Path) -> None:
    press(page, "/", "guage glas", Keys.ENTER)
    WebDriverWait(page, 5).until(lambda d: d.current_url == (site / "components/gauge-glass.html").as_uri())


def test_arrows_pass_through_the_field_at_both_ends(page: Chrome) -> None:
    press(page, "/", "wobble", Keys.ARROW_UP)
    chosen = field(page).get_attribute("aria-activedescendant")
    assert chosen == options(page)[2].get_attribute("id")
    press(page, Keys.ARROW_DOWN)
    assert field(page).get_attribute("aria-activedescendant") is None
    assert all(each.get_attribute("aria-selected") == "false" for each in options(page))


def test_escape_closes_then_empties(page: Chrome) -> None:
    press(page, "/", "wobble", Keys.ESCAPE)
    assert field(page).get_attribute("aria-expanded") == "false"
    assert not options(page)[0].is_displayed()
    assert field(page).get_attribute("value") == "wobble"
    press(page, Keys.ESCAPE)
    assert field(page).get_attribute("value") == ""


def test_arrow_opens_the_list_again(page: Chrome) -> None:
    press(page, "/", "wobble", Keys.ESCAPE, Keys.ARROW_DOWN)
    assert field(page).get_attribute("aria-expanded") == "true"
    assert options(page)[0].get_attribute("aria-selected") == "true"


def test_leaving_the_field_closes_the_list(page: Chrome) -> None:
    press(page, "/", "wobble", Keys.TAB)
    assert field(page).get_attribute("aria-expanded") == "false"
    assert page.switch_to.active_element.get_attribute("id") == "after"


def test_slash_in_another_field_is_a_letter(page: Chrome) -> None:
    other = page.find_element(By.ID, "other")
    other.send_keys("1/2")
    assert other.get_attribute("value") == "1/2"


def test_count_is_announced_politely(page: Chrome) -> None:
    spoken = page.find_element(By.CSS_SELECTOR, "#faultleaf-search [role=status]")
    assert spoken.get_attribute("aria-live") == "polite"
    press(page, "/", "wobble")
    status(page, "3 results, nearest first.")
    set_text(page, "skimming")
    status(page, "1 result.")
    set_text(page, "")
    status(page, "")


def test_only_the_last_count_of_quick_typing_is_announced(page: Chrome) -> None:
    script = """window.spoken = [];
        const place = document.querySelector("#faultleaf-search [role=status]");
        new MutationObserver(() => window.spoken.push(place.textContent)).observe(place, {childList: true});"""
    page.execute_script(script)
    for text in ("wobble", "water", "skimming"):
        set_text(page, text)
    status(page, "1 result.")
    assert page.execute_script("return window.spoken") == ["1 result."]


def test_result_shows_kind_title_and_why(page: Chrome) -> None:
    set_text(page, "water coming out of the radiator")
    first = options(page)[0]
    kind, title, reason = first.find_elements(By.CSS_SELECTOR, "span")
    assert (kind.text, title.text) == ("symptom", "Boiler fills past the top of the glass")
    assert reason.text == "Callers say: water comes out of the radiator vents"
    marks = [mark.text for mark in reason.find_elements(By.TAG_NAME, "mark")]
    assert marks == ["water", "comes", "out", "radiator"]


def test_pointer_opens_a_result(page: Chrome, site: Path) -> None:
    set_text(page, "hand bypass")
    options(page)[0].click()
    WebDriverWait(page, 5).until(lambda d: d.current_url == (site / "faults/bypass-open.html").as_uri())


def test_pressing_a_result_leaves_the_focus_in_the_field(page: Chrome) -> None:
    press(page, "/", "wobble")
    ActionChains(page).click_and_hold(options(page)[1]).perform()
    assert page.switch_to.active_element == field(page)
    ActionChains(page).move_to_element(page.find_element(By.ID, "after")).release().perform()


def test_results_at_the_root_of_the_site_lead_there_too(page: Chrome, site: Path) -> None:
    page.get((site / "index-of-troubles.html").as_uri())
    set_text(page, "hand bypass")
    assert options(page)[0].get_property("href") == (site / "faults/bypass-open.html").as_uri()


def test_no_result_says_so_and_leads_to_the_index(page: Chrome, site: Path) -> None:
    press(page, "/", "qzxqzx")
    status(page, "No results. The troubleshooting index is the next link.")
    assert field(page).get_attribute("aria-expanded") == "false"
    link = page.find_element(By.LINK_TEXT, "troubleshooting index")
    press(page, Keys.TAB)
    assert page.switch_to.active_element == link
    press(page, Keys.ENTER)
    WebDriverWait(page, 5).until(lambda d: d.current_url == (site / "index-of-troubles.html").as_uri())


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
    assert options(page)[0].find_element(By.CSS_SELECTOR, ".fl-search__title").text == HOSTILE_TITLE
    root = page.find_element(By.ID, "faultleaf-search")
    assert root.find_elements(By.CSS_SELECTOR, "img, script, b") == []


def test_two_fields_on_a_page_keep_apart(page: Chrome, site: Path) -> None:
    page.get((site / "pages/two.html").as_uri())
    all_ids = [each.get_attribute("id") for each in page.find_elements(By.CSS_SELECTOR, "[id]")]
    assert len(all_ids) == len(set(all_ids))
    large = page.find_element(By.CSS_SELECTOR, ".faultleaf-search input")
    assert large.accessible_name == "What do you see, hear or get told?"
    large.send_keys("wobble")
    assert options(page) == []
    assert len(page.find_elements(By.CSS_SELECTOR, ".faultleaf-search [role=option]")) == 3


@pytest.mark.parametrize("dark", [False, True])
def test_phone_of_320_px(site: Path, dark: bool) -> None:
    with open_chromium(320, 640, dark) as phone:
        phone.get((site / "pages/one.html").as_uri())
        set_text(phone, "water glass feeder")
        widths = phone.execute_script("return [document.documentElement.scrollWidth, innerWidth]")
        assert widths == [320, 320]
        targets = [field(phone), *options(phone)]
        assert all(target.rect["height"] >= 44 for target in targets)
        assert all(t.rect["x"] >= 0 and t.rect["x"] + t.rect["width"] <= 320 for t in targets)
        panel = phone.find_element(By.CSS_SELECTOR, ".fl-search__panel")
        paper = "rgba(20, 23, 26, 1)" if dark else "rgba(255, 255, 255, 1)"
        assert panel.value_of_css_property("background-color") == paper
        set_text(phone, "qzxqzx")
        assert phone.find_element(By.LINK_TEXT, "troubleshooting index").rect["height"] >= 44
        assert console_errors(phone) == ()


def test_core_never_touches_the_page_and_no_file_reads_markup() -> None:
    core = (ASSETS / "js/search-core.js").read_text(encoding="utf-8")
    assert "document." not in core
    for name in ("search-core.js", "search-view.js"):
        text = (ASSETS / "js" / name).read_text(encoding="utf-8")
        banned = (
            "innerHTML",
            "insertAdjacentHTML",
            "document.write",
            "fetch(",
            "eval(",
            "new Worker",
            "sourceMappingURL",
        )
        assert [word for word in banned if word in text] == []


def test_borrowed_code_keeps_its_licence() -> None:
    for name in ("minisearch", "stemmer"):
        licence = (ASSETS / f"js/vendor/{name}.LICENSE.txt").read_text(encoding="utf-8")
        assert "Permission is hereby granted, free of charge" in licence
        head = (ASSETS / f"js/vendor/{name}.js").read_text(encoding="utf-8")[:400]
        assert "MIT licence" in head
        assert "changed:" in head
