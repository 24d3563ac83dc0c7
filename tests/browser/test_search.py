"""The search in Chromium, from the disk, under the strict policy: what is found, and by what hands.

The data are small cards made up for this test, written by export/search.py as for a real site.
"""

import random
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import faultleaf
import pytest
from faultleaf.cards import Card, Library
from faultleaf.export.search import search_entries, search_script
from selenium.webdriver import ActionChains, Chrome, Keys
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.wait import WebDriverWait

from tests.browser.chromium import console_errors, open_chromium, outside_urls
from tests.export.sample_cards import library, make

ASSETS = Path(faultleaf.__file__).parent / "assets"
HOSTILE_TITLE = '<img src=x onerror="window.broken=1"></script><b>'
PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Fixture</title>
<meta http-equiv="Content-Security-Policy"
  content="default-src 'self'; script-src 'self'; object-src 'none'; base-uri 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="../assets/css/fixture.css">
<link rel="stylesheet" href="../assets/css/search.css">
</head><body>
<header><div id="faultleaf-search" data-base="../"></div></header>
<main><h1>Fixture</h1>{large}<p><a href="#" id="after">The next link</a> <input id="other"></p></main>
<script src="../assets/js/vendor/minisearch.js"></script>
<script src="../assets/js/vendor/stemmer.js"></script>
<script src="../assets/js/search-core.js"></script>
<script src="../search-data.js"></script>
<script src="../assets/js/search-view.js"></script>
</body></html>
"""
LARGE = '<div class="faultleaf-search" data-base="../" data-large></div>'
COLOURS = """
:root { --fl-ink: #16181a; --fl-paper: #ffffff; --fl-line: #76797c; --fl-accent: #0a4f8f;
        --fl-soft: #e9eef2; --fl-focus: #0a4f8f; }
@media (prefers-color-scheme: dark) {
  :root { --fl-ink: #f2f2ee; --fl-paper: #14171a; --fl-line: #8d9297; --fl-accent: #8cc4ff;
          --fl-soft: #262c31; --fl-focus: #8cc4ff; }
}
body { margin: 16px; font: 16px/1.5 sans-serif; background: var(--fl-paper); color: var(--fl-ink); }
"""


def symptom(name: str, title: str, *said: str) -> Card:
    return make("symptom", name, title, also_said=list(said), variants={})


def fault(name: str, title: str, component: str, shows: dict[str, str], body: str = "") -> Card:
    repair = {"title": "Mend it", "takes": "20 min", "proof": "a-proof"}
    return make("fault", name, title, body, component=component, shows=shows, cue=None, repair=repair)


def look(name: str, title: str, **outcomes: str) -> Card:
    return make("test", name, title, asks=f"What does it show: {name}?", why=None, outcomes=outcomes)


def small_library() -> Library:
    return library(
        symptom("boiler-overfills", "Boiler fills past the top of the glass",
                "water comes out of the radiator vents", "the glass is full to the top"),
        symptom("vents-spit", "Radiator vents spit", "my vents are spitting", "wet spots under a vent"),
        symptom("low-water", "Boiler shuts down on low water", "no heat", "it keeps shutting off"),
        symptom("glass-misleads", "Gauge glass misleads", "I cannot see a water line"),
        fault("feeder-valve-passing", "Feeder valve does not close", "water-feeder", {"feeder-hold": "rises"},
              "A valve that passes floods the boiler within days."),
        fault("glass-passages-plugged", "Gauge glass passages are plugged", "gauge-glass",
              {"glass-blowdown": "sluggish"}),
        fault("bypass-open", "Hand bypass left open", "water-feeder", {}),
        make("component", "water-feeder", "Water feeder", also_called=["automatic fill"]),
        make("component", "gauge-glass", "Gauge glass", also_called=["sight glass"]),
        look("feeder-hold", "Hold with the feeder's power off", rises="The water climbs past the mark",
                  steady="The water stays at the mark"),
        look("glass-blowdown", "Blow down the gauge glass", prompt="It comes back at once",
                  sluggish="It comes back sluggishly"),
        make("caution", "scald", "Scalding water"),
        make("term", "skim", "Skimming", means="Drawing oil off the top", also_called=[]),
        make("term", "hostile", HOSTILE_TITLE, means="Zebra", also_called=[]),
        # One word, as a symptom, a fault and a test: only the kind tells them apart.
        symptom("wobble-s", "Wobble"), fault("wobble-f", "Wobble", "no-such", {}), look(
            "wobble-t", "Wobble", yes="So it is", no="So it is not"),
    )  # fmt: skip


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder like a built site: the assets, the data, and a page for every entry."""
    root = tmp_path_factory.mktemp("site")
    shutil.copytree(ASSETS, root / "assets")
    (root / "assets/css/fixture.css").write_text(COLOURS, encoding="utf-8")
    (root / "search-data.js").write_text(search_script(small_library()), encoding="utf-8")
    targets = {entry["url"].partition("#")[0] for entry in search_entries(small_library())}
    for url in targets | {"index-of-troubles.html", "pages/one.html", "pages/two.html"}:
        (root / url).parent.mkdir(exist_ok=True)
        text = PAGE.replace("{large}", LARGE if url == "pages/two.html" else "")
        text = text if "/" in url else text.replace("../", "")
        (root / url).write_text(text, encoding="utf-8")
    return root


@pytest.fixture(scope="module")
def chromium() -> Iterator[Chrome]:
    with open_chromium(1100, 800) as driver:
        yield driver


@pytest.fixture
def page(chromium: Chrome, site: Path) -> Iterator[Chrome]:
    """The fixture page, freshly loaded; afterwards nothing complained and nothing left the folder."""
    chromium.get((site / "pages/one.html").as_uri())
    yield chromium
    assert chromium.execute_script("return window.broken") is None
    assert console_errors(chromium) == ()
    assert outside_urls(chromium, site) == ()


def find(driver: Chrome, text: str, limit: int = 10) -> list[Any]:
    """What the core finds in the page's own data."""
    script = """const search = globalThis.faultleaf.search;
        window.index = window.index || search.build(window.faultleafSearch.entries);
        return search.find(window.index, arguments[0], arguments[1]);"""
    found = driver.execute_script(script, text, limit)
    assert isinstance(found, list)
    return found


def ids(driver: Chrome, text: str) -> list[str]:
    return [each["entry"]["id"] for each in find(driver, text)]


def why(found: dict[str, Any]) -> str:
    """The words that explain a result, hits in brackets."""
    pieces = found["why"]["pieces"]
    return "".join(f"[{each['text']}]" if each["hit"] else each["text"] for each in pieces)


def field(driver: Chrome) -> WebElement:
    return driver.find_element(By.CSS_SELECTOR, "#faultleaf-search input")


def options(driver: Chrome) -> list[WebElement]:
    return driver.find_elements(By.CSS_SELECTOR, "#faultleaf-search [role=option]")


def set_text(driver: Chrome, text: str) -> None:
    """Puts text into the field at once, as pasting does."""
    script = """arguments[0].value = arguments[1];
        arguments[0].dispatchEvent(new Event("input", {bubbles: true}));"""
    driver.execute_script(script, field(driver), text)


def press(driver: Chrome, *keys: str) -> None:
    for key in keys:
        ActionChains(driver).send_keys(key).perform()


def status(driver: Chrome, wanted: str) -> None:
    """Waits until exactly this is announced."""
    spoken = driver.find_element(By.CSS_SELECTOR, "#faultleaf-search [role=status]")
    WebDriverWait(driver, 5).until(lambda _: spoken.get_property("textContent") == wanted)


# What is found


def test_callers_sentence_leads_to_the_symptom_said_nearest(page: Chrome) -> None:
    found = find(page, "water is coming out of my radiator vents")
    assert found[0]["entry"]["id"] == "boiler-overfills"
    assert found[0]["why"]["field"] == "said"
    assert why(found[0]) == "[water] [comes] [out] of the [radiator] [vents]"


def test_every_saying_leads_first_to_the_symptom_that_owns_it(page: Chrome) -> None:
    for card in small_library().symptoms.values():
        for said in card.also_said:
            assert ids(page, said)[0] == card.id


@pytest.mark.parametrize("slip", ["guage glas", "gague glass", "gauge glss", "GAUGE-GLASS", "gaúge glass"])
def test_slips_of_spelling_are_forgiven(page: Chrome, slip: str) -> None:
    assert set(ids(page, slip)[:4]) == {
        "gauge-glass", "glass-misleads", "glass-passages-plugged", "glass-blowdown",
    }  # fmt: skip


def test_other_forms_of_a_word_are_the_same_word(page: Chrome) -> None:
    for form in ("flood", "floods", "flooded", "flooding"):
        assert ids(page, form) == ["feeder-valve-passing"]


def test_results_stay_while_a_word_is_being_typed(page: Chrome) -> None:
    for length in range(4, len("flooding") + 1):
        assert "feeder-valve-passing" in ids(page, "flooding"[:length])


def test_known_word_is_not_taken_for_its_neighbour(page: Chrome) -> None:
    # "power" is one letter from "lower" and two from "water"; the cards know it, so no slip is assumed.
    assert set(ids(page, "power")) == {"feeder-hold", "feeder-valve-passing"}


def test_outcome_words_lead_to_the_test_and_to_what_shows_it(page: Chrome) -> None:
    found = {each["entry"]["id"]: each for each in find(page, "comes back sluggishly")}
    assert set(list(found)[:2]) == {"glass-passages-plugged", "glass-blowdown"}
    assert why(found["glass-blowdown"]) == "It [comes] [back] [sluggishly]"
    assert why(found["glass-passages-plugged"]).startswith("Blow down the gauge glass: It [comes] [back]")


def test_component_and_its_other_names_are_found(page: Chrome) -> None:
    assert ids(page, "water feeder")[0] == "water-feeder"
    assert ids(page, "sight glass")[0] == "gauge-glass"
    assert "bypass-open" in ids(page, "automatic fill")


def test_exact_name_comes_before_longer_titles_that_hold_it(page: Chrome) -> None:
    assert ids(page, "gauge glass")[0] == "gauge-glass"
    assert ids(page, "guage glas")[0] == "gauge-glass"


def test_symptom_before_fault_before_test_for_an_equal_match(page: Chrome) -> None:
    assert ids(page, "wobble") == ["wobble-s", "wobble-f", "wobble-t"]


@pytest.mark.parametrize("text", ["", "   ", "the and of is", "I'm", "?!", "<>", "\u200b\u202e", "qzxqzx"])
def test_nothing_to_find_is_an_empty_answer(page: Chrome, text: str) -> None:
    assert find(page, text) == []


def test_invisible_and_right_to_left_marks_do_not_hide_a_word(page: Chrome) -> None:
    assert ids(page, "\u202egauge\u202c gl\u200bass") == ids(page, "gauge glass")


def test_repeating_a_word_changes_nothing(page: Chrome) -> None:
    assert find(page, "water " * 80) == find(page, "water")


def test_long_text_is_read_up_to_its_limit(page: Chrome) -> None:
    # 500 characters: the last word inside is read, the first one beyond is not.
    assert ids(page, "x" * 490 + " skimming")[0] == "skim"
    assert ids(page, "x" * 500 + " skimming") == []
    assert ids(page, "x" * 500) == []


def test_limit_cuts_the_tail_and_not_the_head(page: Chrome) -> None:
    assert find(page, "glass", 2) == find(page, "glass", 50)[:2]
    assert len(find(page, "glass", 50)) > 2


def test_pieces_join_to_the_text_for_any_question(page: Chrome) -> None:
    rng = random.Random(20261125)
    bits = ["water", "glass", "vent", "<img src=x>", '"', "'", "&amp;", "שלום", "\u202e", "\ud83d\ude00", "½",
            "__proto__", "constructor", "\\", "${1}", "a" * 90, "%00", "\u0000", " "]  # fmt: skip
    script = """const search = globalThis.faultleaf.search;
        const index = search.build(window.faultleafSearch.entries);
        const joined = (pieces) => pieces.map((piece) => piece.text).join("");
        return arguments[0].flatMap((text) => search.find(index, text)).filter(({entry, title, why}) =>
            joined(title) !== entry.title
            || (why && ![entry[why.field]].flat().includes(joined(why.pieces)))).length;"""
    questions = ["".join(rng.choices(bits, k=rng.randint(1, 8))) for _ in range(200)]
    assert page.execute_script(script, questions) == 0
    assert any(find(page, question) for question in questions)


def test_known_word_finds_only_what_a_plain_look_through_finds(page: Chrome) -> None:
    # The slow twin: stem every word of every entry, keep the entries where one begins like the question.
    script = """const stem = faultleafStemmer, fields = ["title", "said", "also", "shows", "parts", "text"];
        const words = (text) => text.toLowerCase().replace(/'/g, "").match(/[a-z0-9]+/g) || [];
        const of = (entry) => fields.flatMap((name) => [entry[name]].flat()).flatMap(words);
        return window.faultleafSearch.entries
            .filter((entry) => of(entry).some((word) => stem(word).startsWith(stem(arguments[0]))))
            .map((entry) => entry.id);"""
    for word in ("water", "glass", "vents", "feeder", "comes", "mark", "skimming", "boiler", "scalding"):
        found = {each["entry"]["id"] for each in find(page, word, 100)}
        assert found
        assert found <= set(page.execute_script(script, word))


def test_stemmer_is_porters(page: Chrome) -> None:
    # Examples of steps 1 to 5 in M. F. Porter, "An algorithm for suffix stripping", Program 14 (1980),
    # quoted from memory, carried through all steps.
    pairs = {
        "caresses": "caress", "ponies": "poni", "cats": "cat", "feed": "feed", "plastered": "plaster",
        "motoring": "motor", "sing": "sing", "sized": "size", "hopping": "hop", "falling": "fall",
        "hissing": "hiss", "failing": "fail", "filing": "file", "happy": "happi", "sky": "sky",
        "relational": "relat", "hopefulness": "hope", "goodness": "good", "adjustment": "adjust",
        "adoption": "adopt", "controlling": "control", "rate": "rate", "cease": "ceas",
    }  # fmt: skip
    stems = page.execute_script("return arguments[0].map((word) => faultleafStemmer(word))", list(pairs))
    assert dict(zip(pairs, stems, strict=True)) == pairs


def test_thousand_entries_build_and_each_is_found_by_its_own_word(page: Chrome) -> None:
    script = """const name = (i) => "q" + String(i).split("").map((digit) => "bcdfghjklm"[digit]).join("");
        const entries = Array.from({length: 1000}, (_, i) => ({
            id: "e" + i, kind: ["symptom", "fault", "test"][i % 3], url: "x.html", text: "Plain words.",
            title: "Valve " + name(i), said: ["water by the valve " + name(i)], also: [], shows: []}));
        const index = faultleaf.search.build(entries);
        return entries.filter((entry, i) => i % 25 === 0
            && faultleaf.search.find(index, "water at " + name(i))[0].entry !== entry).length;"""
    assert page.execute_script(script) == 0


# The field and the list


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


# The files


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
