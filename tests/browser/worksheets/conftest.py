"""One Chromium with the sums' scripts and the shipped worksheets loaded."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import faultleaf
import pytest
from faultleaf.cards import Library
from faultleaf.export import PHYSICS_FILES, WORKSHEET_DATA, WORKSHEET_FILES, worksheet_script
from faultleaf.plugin.policy import policy_for
from selenium.webdriver import Chrome

from tests.browser.chromium import console_errors, open_chromium, outside_urls
from tests.cli.calls import shipped_library

SCRIPTS = Path(faultleaf.__file__).parent / "assets/js"
PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Sums</title>
<meta http-equiv="Content-Security-Policy" content="{policy}"></head><body>
{scripts}
</body></html>
"""


@pytest.fixture(scope="module")
def library() -> Library:
    return shipped_library()


@pytest.fixture(scope="module")
def sums(library: Library, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chrome]:
    """The sums' page; at the end nothing complained and nothing left the folder."""
    root = tmp_path_factory.mktemp("sums")
    for folder in ("physics", "worksheets"):
        shutil.copytree(SCRIPTS / folder, root / folder)
    (root / WORKSHEET_DATA).write_text(worksheet_script(library), encoding="utf-8")
    names = [WORKSHEET_DATA, *(f"physics/{name}.js" for name in PHYSICS_FILES)]
    names += [f"worksheets/{name}.js" for name in WORKSHEET_FILES]
    scripts = "\n".join(f'<script src="{name}"></script>' for name in names)
    page = root / "page.html"
    page.write_text(PAGE.format(policy=policy_for(scripts), scripts=scripts), encoding="utf-8")
    with open_chromium(800, 600) as driver:
        driver.get(page.as_uri())
        yield driver
        assert console_errors(driver) == ()
        assert outside_urls(driver, root) == ()
