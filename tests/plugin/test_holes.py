"""What could get into a site by a name, a page of prose or a stray file; addresses that are not there; no clock."""

import gzip
import logging
import os
import shutil
import time
from pathlib import Path

import pytest
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from selenium.webdriver.common.by import By

from tests.browser.chromium import open_chromium
from tests.library import Entries
from tests.plugin.sites import CONFIG, build_site, make_site

CARDS: Entries = {
    "symptoms/overfills": {"reviewed": "2026-03-04"}, "tests/hold": {"reviewed": "2026-01-02"}, "own.md": "# Our own\n",
}  # fmt: skip
EVIL = "</title><script>document.title='ran'</script>'\"&"


def test_name_and_description_are_escaped_and_their_scripts_not_blessed(tmp_path: Path) -> None:
    named = f"site_name: {EVIL!r}\nsite_description: {EVIL!r}\n".replace("\\'", "''").replace('\\"', '"')
    pages = build_site(make_site(tmp_path, CARDS, CONFIG.replace("site_name: A tiny site\n", named)))
    for name, page in pages.items():
        assert [script for script in page.select("script") if "'ran'" in script.text] == [], name
        assert page.title is not None
        assert EVIL in page.title.text, name
    with open_chromium(600, 400) as driver:
        for name in ("index.html", "own.html", "symptoms/overfills.html", "404.html"):
            driver.get((tmp_path / "site" / name).as_uri())
            assert driver.title.endswith(EVIL), name
    brand = pages["index.html"].select_one(".fl-brand")
    assert brand is not None
    assert brand.text.strip() == EVIL


PROSE = {
    "script": "<script>x()</script>", "from a file": "words <script src='own.js'></script>", "frame": "<iframe src=x>",
    "elsewhere": "<meta http-equiv=refresh content='0;url=https://example.org'>", "base": "<base href='//example.org'>",
}  # fmt: skip


@pytest.mark.parametrize("html", PROSE.values(), ids=PROSE)
def test_prose_brings_nothing_that_runs(html: str, tmp_path: Path) -> None:
    config = make_site(tmp_path, {**CARDS, "own.md": f"# Our own\n\n{html}\n"})
    with pytest.raises(BaseException, match=r"Aborted|not allowed in a page") as caught:
        build_site(config)
    assert "own.md: <" in str(caught.value.__cause__ or caught.value.__context__ or caught.value)


@pytest.mark.parametrize("name", ["own.js", "pictures/a.HTML", "faults/x.svgz", "deep/down/feed.xml"])
def test_files_that_browsers_run_are_refused(name: str, tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    config = make_site(tmp_path, CARDS)
    (tmp_path / "content" / name).parent.mkdir(parents=True, exist_ok=True)
    (tmp_path / "content" / name).write_text("x()", encoding="utf-8")
    with caplog.at_level(logging.ERROR, "mkdocs.plugins.faultleaf"), pytest.raises(PluginError) as caught:
        config.plugins.on_pre_build(config=config)
    assert str(caught.value) == "1 mistake in the folder of cards; nothing was built."
    assert caplog.records[0].getMessage() == (
        f"content/{name}:1: a browser would run '{Path(name).name}'. Take it away, or name it in mkdocs.yml under "
        "'extra_javascript'. [stray-script]"
    )


def test_mkdocs_by_itself_takes_no_file_away_that_no_build_wrote(tmp_path: Path) -> None:
    config = make_site(tmp_path, CARDS)
    build_site(config)
    build_site(make_again(tmp_path))
    (tmp_path / "site/CNAME").write_text("example.org", encoding="utf-8")
    with pytest.raises(PluginError, match="holds what no build put there, such as 'CNAME'; move it away"):
        config.plugins.on_pre_build(config=config)


def make_again(home: Path) -> MkDocsConfig:
    return load_config(str(home / "mkdocs.yml"), site_dir=str(home / "site"))


def test_a_script_that_mkdocs_yml_names_is_the_sites_own(tmp_path: Path) -> None:
    config = make_site(tmp_path, {**CARDS, "own.js": "x()"}, f"{CONFIG}extra_javascript: [own.js]\n")
    config = config.plugins.on_config(config)
    config.plugins.on_pre_build(config=config)


def test_a_link_that_leads_out_is_not_published(tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.mkdir()
    (secret / "key.md").write_text("# Secret\n", encoding="utf-8")
    config = make_site(tmp_path, CARDS)
    (tmp_path / "content/more").symlink_to(secret)
    with pytest.raises(PluginError, match="1 mistake in the cards"):
        config.plugins.on_pre_build(config=config)


def test_the_clock_changes_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = []
    for day in ("1790000000", "1890000000"):
        monkeypatch.setenv("SOURCE_DATE_EPOCH", day)  # what MkDocs takes for now
        shutil.rmtree(tmp_path, ignore_errors=True)
        tmp_path.mkdir()
        build_site(make_site(tmp_path, CARDS, f"{CONFIG}site_url: https://example.org/steam/\n"))
        site = tmp_path / "site"
        found.append({path: path.read_bytes() for path in site.rglob("*") if path.is_file()})
    assert found[0] == found[1]
    sitemap = gzip.decompress((tmp_path / "site/sitemap.xml.gz").read_bytes()).decode()
    assert "<lastmod>2026-03-04</lastmod>" in sitemap  # the last review
    assert time.strftime("%Y-%m-%d") not in sitemap
    assert os.environ["SOURCE_DATE_EPOCH"] == "1890000000"


ADDRESSES = {
    "nothing": ("", {}, "index.html", "assets/faultleaf/css/look.css"),
    "site_url": ("site_url: https://example.org/our/steam/\n", {}, "/our/steam/index.html", ""),
    "the root": ("site_url: https://example.org\n", {}, "/index.html", ""),
    "address": ("", {"site": {"address": "https://example.org/boilers"}}, "/boilers/index.html", ""),
}


@pytest.mark.parametrize(("line", "more", "home", "style"), ADDRESSES.values(), ids=ADDRESSES)
def test_the_page_for_lost_addresses_finds_the_site(
    line: str, more: Entries, home: str, style: str, tmp_path: Path
) -> None:
    page = build_site(make_site(tmp_path, {**CARDS, **more}, CONFIG + line))["404.html"]
    hrefs = [str(link["href"]).removeprefix("./") for link in page.select(".md-content a[href]")]
    assert home in hrefs
    root = home.removesuffix("index.html")
    named = [str(tag.get("href") or tag.get("src")).removeprefix("./") for tag in page.select("[href], script[src]")]
    inside = [name.partition("#")[0] for name in named if "://" not in name and not name.startswith("#")]
    assert inside
    for name in inside:
        assert name.startswith(root), name
        assert (tmp_path / "site" / name.removeprefix(root)).exists(), name
    assert not style or style in inside


def test_the_page_for_lost_addresses_works_from_its_file(tmp_path: Path) -> None:
    build_site(make_site(tmp_path, CARDS))
    with open_chromium(600, 400) as driver:
        driver.get((tmp_path / "site/404.html").as_uri())
        driver.find_element(By.LINK_TEXT, "what the boiler does").click()
        assert driver.current_url == (tmp_path / "site/index.html").as_uri()
