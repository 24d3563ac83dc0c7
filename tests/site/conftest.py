"""The demonstration site, built once for all tests of whole sites."""

import os
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from faultleaf.pages import WorkedSymptom
from selenium.webdriver import Chrome

from tests.browser.chromium import open_chromium
from tests.site.sites import DEMO, Builds, Site, Twin, build_twice, once, read_pages


@pytest.fixture(scope="session")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that all workers share."""
    base: Path = tmp_path_factory.getbasetemp()
    return base.parent if "PYTEST_XDIST_WORKER" in os.environ else base


@pytest.fixture(scope="session")
def builds(home: Path) -> Builds:
    """Two builds of the demonstration site, shared by all workers."""
    return once(home, "builds", lambda: build_twice(DEMO / "mkdocs.yml", home / "demo"))


@pytest.fixture(scope="session")
def worked(builds: Builds) -> Mapping[str, WorkedSymptom]:
    """The figures and drawings that the demonstration was made of."""
    return builds.worked


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
