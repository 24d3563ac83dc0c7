"""What a page must look like to be read on a phone and at a desk, measured in Chromium."""

from typing import Any, Final

from selenium.webdriver import Chrome

PHONE: Final = (390, 844)
DESK: Final = (1280, 800)
SMALL: Final = (320, 640)
WIDE: Final = "scrolls sideways"
SCREENS_OF_A_HUB: Final = 3
"""A page to find by is at most so many screens of a phone long."""
LEAST_COLUMN: Final = 120
"""No column of text is narrower (px)."""
ON_CHARTS: Final = ("label-content-name-mismatch:",)
"""A box of a chart is named by its step and its question; minutes and keys beside them stand in the words below it."""
OUR_SCRIPTS: Final = "/assets/faultleaf/"

LAWS = """
const [leastColumn] = arguments, wrong = [], page = document.documentElement;
const article = document.querySelector("article, #faultleaf-call, main") || document.body;
const shown = (part) => part.checkVisibility({contentVisibilityAuto: true}) && part.getClientRects().length > 0;
const wide = page.scrollWidth - page.clientWidth;
if (wide > 0) wrong.push(`scrolls sideways by ${wide} px`);
// The first sentence that says something: no label, warning, notice, list of facts, or way elsewhere.
const ASIDE = ".fl-kicker, [data-faultleaf=caution], [data-faultleaf=stop], [data-faultleaf=notice], .fl-safe, .fl-work, "
  + ".fl-facts, .faultleaf-search, [hidden]";
const words = (part) => part.textContent.trim().split(/\\s+/).filter(Boolean).length;
const parts = [...article.querySelectorAll("p, li, dd, td, th, .fl-row")];
const first = parts.find((part) => words(part) >= 3 && !part.closest(ASIDE) && shown(part));
const top = first ? Math.round(first.getBoundingClientRect().top + scrollY + 24) : -1;
if (top > innerHeight) wrong.push(`first substance at ${top} px: ${first.textContent.trim().slice(0, 40)}`);
for (const cell of article.querySelectorAll("td, th, dt, dd, .fl-row__title, summary")) {
  if (!shown(cell)) continue;
  const walker = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT), range = document.createRange();
  for (let text = walker.nextNode(); text; text = walker.nextNode()) {
    if (text.parentElement.closest("svg, select")) continue;
    for (const word of text.data.matchAll(/[\\p{L}\\p{N}]{4,}/gu)) {
      range.setStart(text, word.index);
      range.setEnd(text, word.index + word[0].length);
      const tops = new Set([...range.getClientRects()].map((box) => Math.round(box.top)));
      if (tops.size > 1) wrong.push(`a word is broken: ${word[0]}`);
    }
  }
}
for (const part of article.querySelectorAll("td, th, dd, dt, p, li, summary")) {
  const width = part.getBoundingClientRect().width;
  if (words(part) > 3 && shown(part) && width < leastColumn && !part.closest("svg")) {
    wrong.push(`a column of ${Math.round(width)} px: ${part.textContent.trim().slice(0, 40)}`);
  }
}
return wrong;
"""


def breaches(driver: Chrome) -> list[str]:
    """What is wrong with the page that is open, at the size that the screen has."""
    found: list[str] = driver.execute_script(LAWS, LEAST_COLUMN)
    return found


def height_of(driver: Chrome) -> int:
    """How long the page is, header and foot included (px)."""
    found: int = driver.execute_script("return document.documentElement.scrollHeight")
    return found


def script_ms(driver: Chrome, address: str) -> float:
    """How long our own scripts run while the page at this address loads (ms, sampled every 0.1 ms)."""
    driver.execute_cdp_cmd("Profiler.enable", {})
    driver.execute_cdp_cmd("Profiler.setSamplingInterval", {"interval": 100})
    driver.execute_cdp_cmd("Profiler.start", {})
    driver.get(address)
    profile: dict[str, Any] = driver.execute_cdp_cmd("Profiler.stop", {})["profile"]
    ours = {node["id"] for node in profile["nodes"] if OUR_SCRIPTS in node["callFrame"]["url"]}
    spent = zip(profile["samples"], profile["timeDeltas"], strict=True)
    return sum(float(micros) for node, micros in spent if node in ours) / 1000
