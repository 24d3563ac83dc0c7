"""The small invented site, built once, and a browser that forgets every job between tests."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver import Chrome

from tests.browser.call_page.page import CallPage
from tests.browser.call_page.small_site import build_small_site
from tests.browser.chromium import console_errors, open_chromium, outside_urls
from tests.site.sites import locked


@pytest.fixture(scope="session")
def call_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the built site; the workers of a run share it."""
    base = tmp_path_factory.getbasetemp()
    home = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "call-site"
    home.mkdir(exist_ok=True)
    with locked(home / "lock"):
        if not (home / "site").exists():
            build_small_site(home)
    return home / "site"


@pytest.fixture(scope="session")
def phone() -> Iterator[Chrome]:
    """A Chromium of a phone's size."""
    with open_chromium(390, 844) as driver:
        yield driver


@pytest.fixture
def page(phone: Chrome, call_site: Path) -> Iterator[CallPage]:
    """The page without any job; afterwards nothing complained and nothing left the folder."""
    made = CallPage(phone, call_site)
    made.open()
    phone.execute_script("localStorage.clear()")
    made.open()
    yield made
    assert phone.execute_script("return window.broken") is None
    assert console_errors(phone) == ()
    assert outside_urls(phone, call_site) == ()
