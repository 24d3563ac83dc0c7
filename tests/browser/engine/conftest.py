"""One Chromium with the engine and the shipped library's data loaded."""

from collections.abc import Iterator

import pytest
from faultleaf.cards import Library
from selenium.webdriver import Chrome

from tests.browser.chromium import console_errors, open_chromium, outside_urls
from tests.browser.engine.engine_page import write_page
from tests.cli.calls import shipped_library


@pytest.fixture(scope="module")
def library() -> Library:
    return shipped_library()


@pytest.fixture(scope="module")
def engine(library: Library, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chrome]:
    """The engine's page; at the end nothing complained and nothing left the folder."""
    root = tmp_path_factory.mktemp("engine")
    page = write_page(root, library)
    with open_chromium(800, 600) as driver:
        driver.get(page.as_uri())
        yield driver
        assert console_errors(driver) == ()
        assert outside_urls(driver, root) == ()
