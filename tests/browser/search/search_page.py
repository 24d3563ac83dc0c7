"""A page with the search on it, made-up cards to find, and the few things a reader does there.

The data are written by export/search.py as for a real site.
"""

from dataclasses import replace
from pathlib import Path
from typing import Any

import faultleaf
from faultleaf.cards import Card, Feature, Library, Notion
from selenium.webdriver import ActionChains, Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.wait import WebDriverWait

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
<script src="../search-data.js"></script>
<script src="../assets/js/search.js"></script>
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


def check(name: str, title: str, **outcomes: str) -> Card:
    return make("test", name, title, asks=f"What does it show: {name}?", why=None, outcomes=outcomes)


FEED = Feature.model_validate({
    "id": "feed", "title": "Feed", "asks": "Who fills it?",
    "values": {
        "automatic": {"title": "Fed by a feeder", "share": "0.5", "also_said": ["water feeder"]},
        "manual": {"title": "Filled by hand", "share": "0.5", "also_said": ["no feeder", "filled by hand"]},
    },
})  # fmt: skip
NOTIONS = {
    "climb": Notion.model_validate({"id": "climb", "said": ["climbs", "rises", "creeps up"]}),
    "kitchen": Notion.model_validate({"id": "kitchen", "said": ["dishwasher", "glass of wine"], "elsewhere": "yes"}),
}


def small_library() -> Library:
    return replace(_cards(), equipment={"feed": FEED}, notions=NOTIONS)


def _cards() -> Library:
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
        check("feeder-hold", "Hold with the feeder's power off", rises="The water climbs past the mark",
                  steady="The water stays at the mark"),
        check("glass-blowdown", "Blow down the gauge glass", prompt="It comes back at once",
                  sluggish="It comes back sluggishly"),
        make("caution", "scald", "Scalding water"),
        make("test", "glass-look", "Look into the glass",
             outcomes={"edge": "An edge is seen", "empty": "No water is seen"},
             stops={"empty": {"caution": "scald", "call": "a plumber of boilers"}},
             also_said={"empty": ["no water in the glass", "the boiler ran dry"], "edge": ["half full"]}),
        make("term", "skim", "Skimming", means="Drawing oil off the top", also_called=[]),
        make("term", "hostile", HOSTILE_TITLE, means="Zebra", also_called=[]),
        # One word, as a symptom, a fault and a test: only the kind tells them apart.
        symptom("wobble-s", "Wobble"), fault("wobble-f", "Wobble", "no-such", {}), check(
            "wobble-t", "Wobble", yes="So it is", no="So it is not"),
    )  # fmt: skip


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


def results(driver: Chrome) -> list[WebElement]:
    """The rows that were found, in their order."""
    return driver.find_elements(By.CSS_SELECTOR, "#faultleaf-search .fl-search__result")


def titles(driver: Chrome, group: str) -> list[str]:
    """The titles in one group of what was found: symptoms, asked, nothing, pages."""
    rows = driver.find_elements(By.CSS_SELECTOR, f"#faultleaf-search .fl-search__group--{group} .fl-search__title")
    return [row.text for row in rows]


def chip(driver: Chrome, name: str) -> WebElement:
    return driver.find_element(By.CSS_SELECTOR, f'#faultleaf-search [data-chip="{name}"]')


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
