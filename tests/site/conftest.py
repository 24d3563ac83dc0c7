"""The demonstration site, built once for all tests of whole sites."""

import gc
import os
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from faultleaf.pages import WorkedSymptom
from selenium.webdriver import Chrome

from tests.browser.chromium import open_chromium
from tests.site.sites import Build, Site, Twin, build_demo, build_demo_elsewhere, once, read_pages


@pytest.fixture(scope="session")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that all workers share."""
    base: Path = tmp_path_factory.getbasetemp()
    return base.parent if "PYTEST_XDIST_WORKER" in os.environ else base


@pytest.fixture(scope="session")
def demo(home: Path) -> Build:
    """The build of the demonstration site, shared by all workers."""
    return once(home, "demo", lambda: build_demo(home / "site"))


@pytest.fixture(scope="session")
def worked(demo: Build) -> Mapping[str, WorkedSymptom]:
    """The figures and drawings that the demonstration was made of."""
    return demo.worked


@pytest.fixture(scope="session")
def site(demo: Build) -> Site:
    """The demonstration site."""
    read = Site(demo.root, demo.library, demo.made, dict(read_pages(demo.root)))
    gc.freeze()  # millions of objects that stay: the collector need not go through them again and again
    return read


@pytest.fixture(scope="session")
def twin(home: Path, demo: Build) -> Twin:
    """The demonstration site as another process builds it, after the first."""
    return once(home, "twin", lambda: build_demo_elsewhere(home / "other/site"))


@pytest.fixture(scope="session")
def desk() -> Iterator[Chrome]:
    """A Chromium of a desk's size."""
    with open_chromium(1280, 900) as driver:
        yield driver
