"""The demonstration site, built once for all tests of whole sites."""

import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from selenium.webdriver import Chrome

from tests.browser.chromium import open_chromium
from tests.site.sites import DEMO, Site, build_here, start_build


@dataclass(frozen=True)
class Twin:
    """A second build of the demonstration site, in a process of its own."""

    root: Path
    process: "subprocess.Popen[str]"


@pytest.fixture(scope="session")
def twin(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Twin]:
    """The second build, begun first so that it runs beside the one in this process."""
    root = tmp_path_factory.mktemp("twin") / "site"
    process = start_build(DEMO / "mkdocs.yml", root, hash_seed="20261125")
    yield Twin(root, process)
    process.kill()
    process.communicate()


@pytest.fixture(scope="session")
def site(twin: Twin, tmp_path_factory: pytest.TempPathFactory) -> Site:  # noqa: ARG001
    """The demonstration site."""
    return build_here(DEMO / "mkdocs.yml", tmp_path_factory.mktemp("demo") / "site")


@pytest.fixture(scope="session")
def desk() -> Iterator[Chrome]:
    """A Chromium of a desk's size."""
    with open_chromium(1280, 900) as driver:
        yield driver
