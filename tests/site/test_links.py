"""Every address on every page leads somewhere inside the site, and nothing is loaded from outside."""

import json
import re
from collections.abc import Mapping

from bs4 import BeautifulSoup
from faultleaf.cards.urls import CALL_PAGE

from tests.site.sites import NOT_FOUND, Site, links_of, target_of

LOADS = ("script", "img", "source", "audio", "video", "iframe", "object", "embed", "use", "image", "input")
LOADING_LINKS = ("stylesheet", "icon", "preload", "prefetch", "preconnect", "dns-prefetch", "modulepreload", "manifest")
OUTSIDE = ("http:", "https:", "//", "ftp:")
HARMLESS = ("http:", "https:", "mailto:", "tel:", "data:")


def test_every_address_leads_to_a_file_and_an_anchor(site: Site) -> None:
    anchors = {path: _anchors(page) for path, page in site.pages.items()}
    lost, followed = [], 0
    for path, page in site.pages.items():
        for _, address in links_of(page):
            if address.startswith(HARMLESS):
                continue
            followed += 1
            file, anchor = target_of(path, address)
            asked = anchor.partition("&")[0].removeprefix("say=")
            known = anchor in anchors.get(file, ()) or (file == CALL_PAGE and asked in site.library.symptoms)
            if not (site.root / file).is_file() or (anchor and not known):
                lost.append((path, address))
    assert lost == []
    assert followed > 10_000


def test_addresses_are_relative_so_that_the_folder_can_lie_anywhere(site: Site) -> None:
    for path, page in site.pages.items():
        if path == NOT_FOUND:
            continue
        rooted = [address for _, address in links_of(page) if address.startswith(("/", "file:", "\\"))]
        assert rooted == [], path


def test_nothing_is_loaded_from_outside(site: Site) -> None:
    for path, page in site.pages.items():
        for tag, address in links_of(page):
            rel = tag.get_attribute_list("rel")
            loads = tag.name in LOADS or (tag.name == "link" and any(word in LOADING_LINKS for word in rel))
            assert not (loads and address.strip().lower().startswith(OUTSIDE)), f"{path}: {address}"


def test_only_addresses_a_reader_may_follow_leave_the_site(site: Site) -> None:
    for path, page in site.pages.items():
        for tag, address in links_of(page):
            if not address.startswith(("http:", "https:")):
                continue
            assert tag.name == "a", f"{path}: {address}"


def test_styles_load_only_files_of_the_site(site: Site) -> None:
    sheets = sorted(site.root.rglob("*.css"))
    assert len(sheets) >= 5
    for sheet in sheets:
        text = sheet.read_text(encoding="utf-8")
        assert "@import" not in text, sheet.name
        for address in re.findall(r"url\(\s*['\"]?([^'\")]+)", text):
            if address.startswith(("data:", "#")):
                continue
            assert not address.startswith(OUTSIDE), f"{sheet.name}: {address}"
            path = sheet.relative_to(site.root).as_posix()
            assert (site.root / target_of(path, address)[0]).is_file(), f"{sheet.name}: {address}"


def test_search_data_leads_to_pages(site: Site) -> None:
    script = (site.root / "assets/faultleaf/search-data.js").read_text(encoding="utf-8")
    data = json.loads(script[script.index("{") : script.rindex("}") + 1])
    assert len(data["entries"]) > 150
    for entry in data["entries"]:
        file, anchor = target_of("index.html", entry["url"])
        assert not anchor or anchor in _anchors(site.page(file)), entry["url"]
        assert (site.root / file).is_file(), entry["url"]


def test_every_page_can_be_reached_from_the_home_page(site: Site) -> None:
    reached, ahead = {"index.html"}, ["index.html"]
    while ahead:
        path = ahead.pop()
        for tag, address in links_of(site.page(path)):
            if tag.name != "a" or address.startswith(HARMLESS):
                continue
            file, _ = target_of(path, address)
            if file in site.pages and file not in reached:
                reached.add(file)
                ahead.append(file)
    # A host shows 404.html for a wrong address; nobody links to it.
    assert set(site.pages) - reached == {NOT_FOUND}


def test_graph_data_names_cards_that_exist(site: Site) -> None:
    graph: Mapping[str, list[Mapping[str, str]]] = json.loads((site.root / "graph.json").read_text(encoding="utf-8"))
    ids = {name for _, name in site.library.cards}
    assert len(graph["nodes"]) > 100
    for node in graph["nodes"]:
        assert node["id"].rpartition("/")[2].rpartition(":")[2] in ids, node


def _anchors(page: BeautifulSoup) -> set[str]:
    named = {str(tag["name"]) for tag in page.find_all("a", attrs={"name": True})}
    return {str(tag["id"]) for tag in page.find_all(id=True)} | named
