"""One way to open Chromium, shared by every browser test.

A test opens a page from the disk, asks what it wants, and at the end asserts that the
console stayed clean and that nothing outside the folder was asked for.
"""

import json
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from selenium.webdriver import Chrome, ChromeOptions
from selenium.webdriver.chrome.service import Service

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",  # containers give /dev/shm too little room
)
PAGE_ASKS = "Network.requestWillBeSent"


class ChromiumMissingError(RuntimeError):
    """Chromium or its driver is not installed: the sentence says how to get it."""


@contextmanager
def open_chromium(width: int, height: int, dark: bool = False) -> Iterator[Chrome]:
    """A fresh headless Chromium whose page measures width x height CSS pixels.

    `dark` makes pages believe that the reader prefers a dark scheme. The profile is
    empty and thrown away afterwards. Raises ChromiumMissingError where none is installed.
    """
    with tempfile.TemporaryDirectory(prefix="chromium-", ignore_cleanup_errors=True) as profile:
        driver = Chrome(options=_options(profile, width, height), service=_service())
        try:
            _set_screen(driver, width, height, dark)
            yield driver
        finally:
            driver.quit()


def console_errors(driver: Chrome) -> tuple[str, ...]:
    """What the console complained about (warnings too) since the last call.

    Breaches of the Content-Security-Policy are among them.
    """
    entries = driver.get_log("browser")  # type: ignore[no-untyped-call]
    return tuple(e["message"] for e in entries if e["level"] in {"SEVERE", "WARNING"})


def requested_urls(driver: Chrome) -> tuple[str, ...]:
    """Every address the pages asked for since the last call, in order of asking.

    The browser's own pages (its new-tab page opens first) are left out.
    """
    log = driver.get_log("performance")  # type: ignore[no-untyped-call]
    events = (json.loads(entry["message"])["message"] for entry in log)
    urls = (e["params"]["request"]["url"] for e in events if e["method"] == PAGE_ASKS)
    return tuple(url for url in urls if not url.startswith("chrome"))


def outside_urls(driver: Chrome, folder: Path) -> tuple[str, ...]:
    """Those of `requested_urls` that leave `folder`: an offline site asks for none."""
    inside = (folder.resolve().as_uri() + "/", "data:", "about:")
    return tuple(url for url in requested_urls(driver) if not url.startswith(inside))


def _options(profile: str, width: int, height: int) -> ChromeOptions:
    options = ChromeOptions()
    options.binary_location = _program("chromium", "chromium-browser", "google-chrome")
    for flag in (*FLAGS, f"--user-data-dir={profile}", f"--window-size={width},{height}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    return options


def _service() -> Service:
    # Naming the driver keeps selenium from looking for one on the network.
    return Service(_program("chromedriver"))


def _program(*names: str) -> str:
    for name in names:
        if found := shutil.which(name):
            return found
    raise ChromiumMissingError(f"{names[0]} is not installed: apt-get install chromium chromium-driver")


def set_page_size(driver: Chrome, width: int, height: int) -> None:
    """Make the page measure width x height CSS pixels."""
    # A headless window is never narrower than some 500 px, so the page's own size is set.
    screen = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", screen)


def _set_screen(driver: Chrome, width: int, height: int, dark: bool) -> None:
    set_page_size(driver, width, height)
    scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
    driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [scheme]})
