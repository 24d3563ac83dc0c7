"""A site that is more than its cards: they and their pages lie in a folder of its choice; the rest is its own."""

from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from faultleaf.plugin.project import ProjectError, read_project
from mkdocs.config import load_config
from mkdocs.exceptions import PluginError

from tests.library import Entries, write_library
from tests.plugin.sites import build_site

CONFIG = """\
site_name: Somebody's handbook
use_directory_urls: false
theme: {name: material, font: false}
plugins: [search, faultleaf: {cards: help/boilers}]
"""
CARDS: Entries = {
    "symptoms/overfills": {"title": "Overfills"},
    "faults/valve": {"title": "The valve", "symptoms": {"overfills": "often"}},
    "tests/hold": {},
}
OWN = {
    "index.md": "# Handbook\n\n[The valve](help/boilers/faults/valve.md), [our tests](tests/index.md)\n",
    "tests/index.md": "# Our own tests\n\n<script>own()</script>\n",
    "tests/hold.md": "# How we hold meetings\n",
    "faults.md": "# Our own faults\n",
    "equipment.yml": "whatever: [this, is]\n",
}
Pages = dict[str, BeautifulSoup]


def write_site(home: Path, config: str) -> Path:
    write_library(home / "docs/help/boilers", CARDS)
    for name, text in OWN.items():
        path = home / "docs" / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    (home / "mkdocs.yml").write_text(config, encoding="utf-8")
    return home / "mkdocs.yml"


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("guest")


@pytest.fixture(scope="module")
def pages(home: Path) -> Pages:
    config = load_config(str(write_site(home, CONFIG)), site_dir=str(home / "site"), strict=True)
    return build_site(config)


def test_folders_of_the_same_names_do_not_collide(pages: Pages, home: Path) -> None:
    assert pages["tests/hold.html"].h1 is not None
    assert "How we hold meetings" in pages["tests/hold.html"].h1.text
    assert {"faults.html", "tests/index.html", "help/boilers/tests/hold.html", "help/boilers/index.html"} <= set(pages)
    assert not (home / "site/faults").exists()
    assert (home / "site/equipment.yml").is_file()  # theirs, and published as MkDocs would
    assert not (home / "site/help/boilers/equipment.yml").exists()


def test_pages_that_are_not_ours_are_left_alone(pages: Pages) -> None:
    for name in ("index.html", "tests/index.html", "404.html"):
        page = pages[name]
        assert not page.select("meta[http-equiv='Content-Security-Policy']"), name
        assert not [link for link in page.select("link, script") if "faultleaf" in str(link)], name
        assert page.select("[data-md-component=search]"), name
    assert "own()" in str(pages["tests/index.html"])


def test_every_address_of_our_pages_leads_to_a_file(pages: Pages, home: Path) -> None:
    ours = {name: page for name, page in pages.items() if name.startswith("help/boilers/")}
    assert len(ours) > 8
    for name, page in ours.items():
        where = (home / "site" / name).parent
        named = [str(tag.get("href") or tag.get("src")) for tag in page.select("[href], [src]")]
        files = {address.partition("#")[0] for address in named if "://" not in address} - {""}
        assert [address for address in files if not (where / address).is_file()] == [], name
        assert page.select("meta[http-equiv='Content-Security-Policy']"), name


def test_our_section_stands_after_their_own_pages(pages: Pages) -> None:
    tabs = [" ".join(each.get_text().split()) for each in pages["index.html"].select(".md-nav--primary > ul > li")]
    assert tabs[:-1] == ["Handbook", "Our own faults", "Tests Tests Our own tests How we hold meetings"]
    assert tabs[-1].startswith("Troubleshooting")
    assert "The valve" in tabs[-1]


def test_their_own_navigation_is_kept(tmp_path: Path) -> None:
    path = write_site(tmp_path, CONFIG + "nav: [Start: index.md, Meetings: tests/hold.md]\n")
    page = build_site(load_config(str(path), site_dir=str(tmp_path / "site")))["index.html"]
    tabs = [" ".join(each.get_text().split()) for each in page.select(".md-nav--primary > ul > li")]
    assert [tab.split()[0] for tab in tabs] == ["Start", "Meetings", "Troubleshooting"]


@pytest.mark.parametrize("theme", ["readthedocs", "mkdocs"])
def test_other_themes_are_refused_with_the_reason(theme: str, tmp_path: Path) -> None:
    path = write_site(tmp_path, CONFIG.replace("{name: material, font: false}", theme))
    config = load_config(str(path))
    with pytest.raises(PluginError, match=f"the theme is '{theme}'; the pages of cards stand in the frame of the"):
        config.plugins.on_config(config)


@pytest.mark.parametrize("cards", ["../elsewhere", "/tmp", "[a]", "a/../../b"])
def test_a_folder_outside_is_refused(cards: str, tmp_path: Path) -> None:
    path = write_site(tmp_path, CONFIG.replace("help/boilers", cards))
    with pytest.raises(ProjectError, match=r"mkdocs\.yml: plugins: faultleaf: cards: expected a folder below docs_dir"):
        read_project(path)


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    path = write_site(tmp_path, CONFIG.replace("help/boilers", "help/boiler"))
    with pytest.raises(ProjectError) as caught:
        read_project(path)
    assert str(caught.value) == "mkdocs.yml: plugins: faultleaf: cards: there is no folder 'docs/help/boiler'"
