"""The demonstration site, built once for all tests of whole sites."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver import Chrome

from tests.browser.chromium import open_chromium
from tests.site.sites import DEMO, Builds, Site, Twin, build_twice, once, read_pages


@pytest.fixture(scope="session")
def builds(tmp_path_factory: pytest.TempPathFactory) -> Builds:
    """Two builds of the demonstration site, shared by all workers."""
    base = tmp_path_factory.getbasetemp()
    home: Path = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    return once(home, lambda: build_twice(DEMO / "mkdocs.yml", home / "demo"))


@pytest.fixture(scope="session")
def site(builds: Builds) -> Site:
    """The demonstration site."""
    return Site(builds.root, builds.library, builds.made, dict(read_pages(builds.root)))


@pytest.fixture(scope="session")
def twin(builds: Builds) -> Twin:
    """The demonstration site as another process built it."""
    return builds.twin


@pytest.fixture(scope="session")
def desk() -> Iterator[Chrome]:
    """A Chromium of a desk's size."""
    with open_chromium(1280, 900) as driver:
        yield driver
