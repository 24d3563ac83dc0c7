"""The largest pages of every kind, on a phone and at a desk: read without hunting, whole on paper."""

import base64
import io

import pytest
from faultleaf.cards.urls import repair_url
from pypdf import PdfReader
from selenium.webdriver import Chrome

from tests.browser.axe import violations
from tests.browser.chromium import console_errors, open_chromium, outside_urls, set_page_size
from tests.site.looks import DESK, ON_CHARTS, PHONE, SCREENS_OF_A_HUB, SMALL, WIDE, breaches, height_of
from tests.site.sites import Site, largest_of_each_kind, squeezed


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_pages_of_each_kind_load_and_look_as_they_must(site: Site, dark: bool) -> None:
    wrong: dict[str, list[str]] = {}
    with open_chromium(*PHONE, dark=dark) as driver:
        for path in largest_of_each_kind(site):
            driver.get((site.root / path).as_uri())
            assert _is_dark(driver) == (dark and not path.startswith("charts/")), path
            found = [*console_errors(driver), *outside_urls(driver, site.root), *violations(driver, *ON_CHARTS)]
            # WCAG 2.1, 1.4.10 Reflow: no scrolling in two directions at 320 CSS pixels.
            for size in (PHONE,) if dark else (PHONE, DESK, SMALL):
                set_page_size(driver, *size)
                found += [f"{size[0]} px: {each}" for each in breaches(driver) if size != SMALL or each.startswith(WIDE)]
            set_page_size(driver, *PHONE)
            wrong[path] = found
    assert {path: found for path, found in wrong.items() if found} == {}


def test_a_dark_screen_prints_in_ink(site: Site) -> None:
    with open_chromium(*DESK, dark=True) as driver:
        for path in ("the-plant.html", "faults/coil-pinhole.html", "work-the-call.html"):
            driver.get((site.root / path).as_uri())
            assert _is_dark(driver), path
            driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
            ink = driver.execute_script("return getComputedStyle(document.querySelector('h1')).color.match(/[0-9.]+/g)")
            assert sum(float(part) for part in ink[:3]) < 3 * 64, path
            driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


def _is_dark(driver: Chrome) -> bool:
    shade = driver.execute_script("return getComputedStyle(document.body).backgroundColor.match(/[0-9.]+/g)")
    return len(shade) == 3 and sum(float(part) for part in shade) < 3 * 96


def test_pages_to_find_by_are_three_screens_of_a_phone_at_most(site: Site, desk: Chrome) -> None:
    set_page_size(desk, *PHONE)
    long = {}
    for path in ("index.html", *site.below("symptoms")):
        desk.get((site.root / path).as_uri())
        long[path] = height_of(desk)
    set_page_size(desk, *DESK)
    assert {path: px for path, px in long.items() if px > SCREENS_OF_A_HUB * PHONE[1]} == {}


def test_what_is_folded_on_the_screen_stands_open_on_paper(site: Site, desk: Chrome) -> None:
    fault = max(site.library.faults.values(), key=lambda fault: len(fault.all_cautions))
    desk.get((site.root / repair_url(fault)).as_uri())
    printed = base64.b64decode(desk.execute_cdp_cmd("Page.printToPDF", {})["data"])
    text = squeezed("".join(page.extract_text() for page in PdfReader(io.BytesIO(printed)).pages))
    assert len(fault.all_cautions) > 2
    for name in fault.all_cautions:
        caution = site.library.cautions[name]
        assert squeezed(caution.hazard + caution.consequence + caution.avoid) in text, name
