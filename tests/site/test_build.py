"""The build itself: strict, the same every time, and never at the cost of the last good site."""

from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from faultleaf.cli import main

from tests.site.sites import DEMO, REPOSITORY, Site, Twin, make_small_site, read_bytes

OWN_PAGES = {
    "index": "# Our own home\n\nWelcome, with [a fault](faults/bypass-open.md) and [ours](other.md#deep).\n",
    "other": "# Another page\n\nWords of the site's own.\n\n## Deep\n\n| a | b |\n| - | - |\n| 1 | 2 |\n",
}


def test_strict_build_passes_and_gives_the_same_bytes_in_another_process(site: Site, twin: Twin) -> None:
    assert twin.code == 0, twin.said
    assert "WARNING" not in twin.said
    here, there = read_bytes(site.root), read_bytes(twin.root)
    for files in (here, there):
        del files["sitemap.xml.gz"]  # MkDocs stamps it with the time of the build (RFC 1952, MTIME)
    assert sorted(here) == sorted(there)
    assert [path for path in here if here[path] != there[path]] == []


def test_output_names_no_path_of_the_machine(site: Site) -> None:
    home = str(REPOSITORY).encode()
    assert [path for path, data in read_bytes(site.root).items() if home in data] == []


def test_no_card_is_left_in_the_site_as_it_was_written(site: Site) -> None:
    left = [path for path in read_bytes(site.root) if path.endswith((".md", ".yml", ".yaml", ".py"))]
    assert left == []


def test_check_finds_no_mistake_in_the_demonstration(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(REPOSITORY / "content"), str(DEMO / "content")]) == 0
    said = capsys.readouterr()
    assert "0 mistakes" in said.out + said.err
    own = [line for line in (said.out + said.err).splitlines() if "site_demo" in line.partition(":")[0]]
    assert own == []


def test_demonstration_adds_three_cards_and_overrides_values(site: Site) -> None:
    own = {path.relative_to(DEMO / "content").as_posix() for path in (DEMO / "content").glob("*/*.md")}
    library = {path.relative_to(REPOSITORY / "content").as_posix() for path in (REPOSITORY / "content").glob("*/*.md")}
    assert len(own) == 3
    assert not own & library
    assert site.library.site.title == "Osselmere Steam Keepers (invented)"
    assert site.library.site.hand_on == 1440  # what the demonstration does not name stays as the library has it
    assert "faults/well-tank-waterlogged.html" in site.pages
    assert site.page("causes/boiler-overfills.html").select("a[href='../faults/well-tank-waterlogged.html']")


def test_extra_page_of_the_demonstration_keeps_its_words_and_its_links(site: Site) -> None:
    page = site.page("about-osselmere.html")
    assert "There is no such district" in " ".join(page.get_text(" ").split())
    assert page.select("article a[href='faults/well-tank-waterlogged.html']")


def test_site_may_write_its_own_home_page(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    config, target = make_small_site(tmp_path, **OWN_PAGES), tmp_path / "site"
    assert main(["build", "--config", str(config), "--site-dir", str(target)]) == 0, capfd.readouterr().err
    home = BeautifulSoup((target / "index.html").read_text(encoding="utf-8"), "html.parser")
    assert [tag.get_text(strip=True).rstrip("¶") for tag in home.find_all("h1")] == ["Our own home"]
    assert home.select("a[href='faults/bypass-open.html']")
    assert home.select("a[href='other.html#deep']")
    assert home.select(".faultleaf-search")
    other = BeautifulSoup((target / "other.html").read_text(encoding="utf-8"), "html.parser")
    assert other.select("table td")
    assert other.find(id="deep")


def test_broken_card_leaves_the_last_good_site_as_it_was(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    config, target = make_small_site(tmp_path), tmp_path / "site"
    arguments = ["build", "--config", str(config), "--site-dir", str(target)]
    assert main(arguments) == 0, capfd.readouterr().err
    assert f"Open {target / 'index.html'}" in capfd.readouterr().out
    before = read_bytes(target)
    card = tmp_path / "content/faults/bypass-open.md"
    card.write_text(card.read_text(encoding="utf-8").replace("how_common:", "how_comon:"), encoding="utf-8")
    assert main(arguments) == 1
    said = capfd.readouterr()
    lines = [line for line in said.err.splitlines() if "content/faults/bypass-open.md:" in line]
    assert any("how_comon" in line and "how_common" in line for line in lines), said.err
    assert f"The last good site in '{target}' was left as it was." in said.err
    assert "Traceback" not in said.out + said.err
    assert read_bytes(target) == before
    assert sorted(path.name for path in tmp_path.iterdir()) == [".cache", "content", "mkdocs.yml", "site"]


def test_build_touches_no_folder_that_is_not_a_built_site(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    config, target = make_small_site(tmp_path), tmp_path / "letters"
    target.mkdir()
    (target / "letter.txt").write_text("Keep me.", encoding="utf-8")
    assert main(["build", "--config", str(config), "--site-dir", str(target)]) == 1
    assert "is not a built site" in capsys.readouterr().err
    assert read_bytes(target) == {"letter.txt": b"Keep me."}
