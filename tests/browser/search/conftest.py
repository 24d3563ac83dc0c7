"""A folder like a built site, and one Chromium for each module of tests."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from faultleaf.export.search import search_entries, search_script
from faultleaf.plugin.files import joined_script
from selenium.webdriver import Chrome

from tests.browser.chromium import console_errors, open_chromium, outside_urls
from tests.browser.search.search_page import (
    ASSETS,
    COLOURS,
    LARGE,
    PAGE,
    small_library,
)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder like a built site: the assets, the data, and a page for every entry."""
    root = tmp_path_factory.mktemp("site")
    shutil.copytree(ASSETS, root / "assets")
    (root / "assets/js/search.js").write_text(joined_script("search"), encoding="utf-8")
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
