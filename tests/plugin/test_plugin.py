"""plugin/plugin.py and files.py: settings refused, cards replaced by pages, heads escaped, notices demanded."""

import logging
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from faultleaf.intake import Layer
from faultleaf.pipeline.build import build as build_content
from faultleaf.plugin import FaultleafPlugin
from faultleaf.plugin.files import navigation
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files

from tests.library import Entries, write_library
from tests.plugin.sites import CONFIG, build_site, make_site

ODD = 'Valve "passes" & \'hisses\' x=" http-equiv="refresh"'
CARDS: Entries = {
    "symptoms/overfills": {"title": "Overfills & \"floods\""},
    "faults/valve": {"title": ODD, "symptoms": {"overfills": "often"}, "body": "## A \"part\" &lt;b&gt;\n\nWords.\n"},
    "tests/hold": {"title": "Hold &lt;it&gt;"},
    "tests/look": {},
    "site": {
        "notice": "Local \"code\" &lt; law prevail.", "invented": "Invented &lt; \"false\".",
        "call": "call &lt; \"us\"",
        "notices": [{"place": "Here", "text": "Ask \"us\" first.", "source": "Bylaw", "date": "2026-01-02"}],
    },
    "index.md": "# Our own home\n\nSee [the valve](faults/valve.md).\n",
}  # fmt: skip
HOOK = """\
def on_page_content(html, page, **_):
    return html.replace({what!r}, '') if page.file.src_uri == 'tests/look.md' else html
"""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, BeautifulSoup]]:
    home = tmp_path_factory.mktemp("site")
    return home / "site", build_site(make_site(home, CARDS))


def test_directory_urls_are_refused(tmp_path: Path) -> None:
    config = make_site(tmp_path, {}, CONFIG.replace("use_directory_urls: false", "use_directory_urls: true"))
    with pytest.raises(PluginError) as caught:
        config.plugins.on_config(config)
    assert str(caught.value) == "mkdocs.yml: set 'use_directory_urls: false'; pages must open from a folder."


@pytest.mark.parametrize("theme", ["{name: material}", "material", "{name: material, font: {text: Roboto}}"])
def test_fonts_from_elsewhere_are_refused(theme: str, tmp_path: Path) -> None:
    config = make_site(tmp_path, {}, CONFIG.replace("{name: material, font: false}", theme))
    with pytest.raises(PluginError) as caught:
        config.plugins.on_config(config)
    assert str(caught.value) == "mkdocs.yml: set 'font: false' under 'theme'; the site ships its own font."


def test_our_styles_and_scripts_come_before_the_sites_own(tmp_path: Path) -> None:
    config = make_site(tmp_path, {}, f"{CONFIG}extra_css: [own.css]\nextra_javascript: [own.js]\n")
    config = config.plugins.on_config(config)
    assert str(config.extra_css[-1]) == "own.css"
    assert str(config.extra_javascript[-1]) == "own.js"
    assert all(str(each).startswith("assets/faultleaf/") for each in config.extra_css[:-1])
    assert len(config.extra_javascript) > 1


def test_heads_are_escaped(site: tuple[Path, dict[str, BeautifulSoup]]) -> None:
    page = site[1]["faults/valve.html"]
    described = page.find("meta", attrs={"name": "description"})
    assert described is not None
    assert dict(described.attrs) == {
        "name": "description", "content": f"{ODD}: what happens, its signs, its look-alikes, how to confirm it.",
    }  # fmt: skip
    assert page.title is not None
    assert page.title.get_text() == f"{ODD} - A tiny site"
    assert [str(meta["http-equiv"]) for meta in page.select("meta[http-equiv]")] == ["Content-Security-Policy"]
    assert 'A "part" <b>' in " ".join(tag.get_text(" ", strip=True) for tag in page.select("nav"))


def test_titles_in_lists_are_escaped(site: tuple[Path, dict[str, BeautifulSoup]]) -> None:
    shown = [tag.get_text(" ", strip=True) for tag in site[1]["tests/index.html"].select(".fl-row__title")]
    assert "Hold &lt;it&gt;" in shown
    title = site[1]["tests/hold.html"].title
    assert title is not None
    assert title.get_text() == "Hold &lt;it&gt; - A tiny site"


def test_the_way_through_the_site_names_sections_and_not_every_card(
    site: tuple[Path, dict[str, BeautifulSoup]],
) -> None:
    ways = site[1]["tests/hold.html"].select("nav.fl-nav a")
    assert {tag.get_text(" ", strip=True) for tag in ways} > {"Home", "Work the call", "Tests", "Faults"}
    assert not [tag for tag in ways if str(tag["href"]).endswith("look.html")]
    assert [tag.get_text(" ", strip=True) for tag in ways if "fl-nav__link--here" in tag["class"]] == ["Tests"]


def test_words_of_frame_and_footer_are_escaped(site: tuple[Path, dict[str, BeautifulSoup]]) -> None:
    for path, page in site[1].items():
        footer = page.find("footer")
        if footer is None:
            continue  # a sheet
        assert " ".join(page.get_text(" ").split()).count('Invented &lt; "false".') == 1, path
        assert 'call &lt; "us"' in " ".join(footer.get_text(" ").split()), path


def test_site_keeps_its_own_home_page(site: tuple[Path, dict[str, BeautifulSoup]]) -> None:
    home = site[1]["index.html"]
    assert [tag.get_text(strip=True).rstrip("¶") for tag in home.find_all("h1")] == ["Our own home"]
    assert home.select("a[href='faults/valve.html']")


def test_cards_and_settings_are_not_published(site: tuple[Path, dict[str, BeautifulSoup]]) -> None:
    assert [path.name for path in site[0].rglob("*") if path.suffix in (".md", ".yml")] == []
    assert (site[0] / "graph.json").is_file()
    assert (site[0] / "assets/faultleaf/search-data.js").is_file()


def test_address_that_is_not_there_has_a_page_with_a_policy(site: tuple[Path, dict[str, BeautifulSoup]]) -> None:
    policy = site[1]["404.html"].find("meta", attrs={"http-equiv": "Content-Security-Policy"})
    assert policy is not None
    assert str(policy["content"]).startswith("default-src 'none'; script-src 'self' 'sha256-")


@pytest.mark.parametrize("notice", ["Local &#34;code&#34; &amp;lt; law prevail.", "Ask &#34;us&#34; first."])
def test_page_that_lacks_a_notice_fails_the_build(notice: str, tmp_path: Path) -> None:
    (tmp_path / "hook.py").write_text(HOOK.format(what=notice), encoding="utf-8")
    config = make_site(tmp_path, CARDS, f"{CONFIG}hooks: [hook.py]\n")
    with pytest.raises(BaseException, match=r"Aborted|local-code notice") as caught:
        build_site(config)
    assert "tests/look.html: this page tells somebody to act and lacks the local-code notice." in str(
        caught.value.__cause__ or caught.value.__context__ or caught.value
    )


def test_mistakes_stop_the_build_before_anything_is_wiped(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    config = make_site(tmp_path, {"faults/valve": {"component": "prat", "how_common": "comon"}})
    (tmp_path / "site").mkdir()
    (tmp_path / "site/index.html").write_text("good", encoding="utf-8")
    with caplog.at_level(logging.ERROR, "mkdocs.plugins.faultleaf"), pytest.raises(PluginError) as caught:
        config.plugins.on_pre_build(config=config)
    assert str(caught.value) == "2 mistakes in the cards; nothing was built."
    assert [record.getMessage() for record in caplog.records] == [
        "content/faults/valve.md:3: component: there is no component 'prat'. Did you mean 'part'? [unknown-component]",
        "content/faults/valve.md:4: how_common: 'comon' is neither a number nor a word for how common a fault is. "
        "Did you mean 'common'? [unknown-word]",
    ]
    assert (tmp_path / "site/index.html").read_text(encoding="utf-8") == "good"


def test_library_folders_are_named_as_in_the_config(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    write_library(tmp_path / "base", {"tests/hold": {"takes": "5"}})
    config = make_site(tmp_path, {"tests/look": {}}, CONFIG.replace("[faultleaf]", "[faultleaf: {library: [base]}]"))
    with caplog.at_level(logging.ERROR, "mkdocs.plugins.faultleaf"), pytest.raises(PluginError) as caught:
        config.plugins.on_pre_build(config=config)
    assert str(caught.value) == "1 mistake in the cards; nothing was built."
    assert caplog.records[0].getMessage().startswith("base/tests/hold.md:")


def test_plan_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    values = {name: {"title": name, "share": 0.5} for name in ("a", "b")}
    first = [{"test": f"t{n}", "because": "it is first"} for n in range(30)]
    cards: Entries = {
        "equipment": {"feed": {"title": "Feed", "asks": "How?", "values": values}},
        "symptoms/overfills": {"first": first, "variants": {"with a": {"feed": "a"}}},
        "faults/valve": {"symptoms": {"overfills": "often"}},
        **{f"tests/t{n}": {} for n in range(30)},
    }
    config = make_site(tmp_path, cards)
    with pytest.raises(PluginError) as caught:
        config.plugins.on_pre_build(config=config)
    assert str(caught.value) == "overfills: there is no plan for 'with a'; nothing was built."


def test_cards_are_read_again_only_when_a_file_changed(tmp_path: Path) -> None:
    config = make_site(tmp_path, {"tests/hold": {}})
    plugin = config.plugins["faultleaf"]
    assert isinstance(plugin, FaultleafPlugin)
    plugin.on_pre_build(config=config)
    first = plugin._site()
    plugin.on_pre_build(config=config)
    assert plugin._site() is first
    write_library(tmp_path / "content", {"tests/look": {}})
    plugin.on_pre_build(config=config)
    assert plugin._site() is not first


def test_navigation_has_a_section_for_each_kind_that_has_cards(tmp_path: Path) -> None:
    cards: Entries = {
        "faults/b": {"title": "beta"}, "faults/a": {"title": "Alpha & \"one\""}, "faults/c": {"title": "Gamma"},
        "terms/mark": {},
    }  # fmt: skip
    built = build_content([Layer(write_library(tmp_path, cards), "content")])
    own = [File(path, str(tmp_path), "", use_directory_urls=False) for path in ("own.md", "index.md", "about.md")]
    assert navigation(built, Files(own)) == [
        {"Home": "index.md"},
        {"Work the call": "work-the-call.md"},
        {"Troubleshooting index": "index-of-troubles.md"},
        {"Faults": [
            "faults/index.md",
            {"Alpha &amp; &#34;one&#34;": "faults/a.md"}, {"beta": "faults/b.md"}, {"Gamma": "faults/c.md"},
        ]},
        {"Components": ["components/index.md", {"The part": "components/part.md"}]},
        {"Cautions": "cautions/index.md"},
        {"Words of the trade": "terms/index.md"},
        "about.md",
        "own.md",
        {"About the numbers": "about-the-numbers.md"},
    ]  # fmt: skip


VARIANT: Entries = {
    "equipment": {"feed": {
        "title": "Feed", "asks": "How?", "values": {name: {"title": name, "share": 0.5} for name in ("a", "b")},
    }},
    "symptoms/overfills": {"variants": {"with a": {"feed": "a"}}},
    "faults/valve": {"symptoms": {"overfills": "often"}},
}  # fmt: skip


@pytest.mark.parametrize(
    ("option", "folder"),
    [("shakings: 1", ".cache/faultleaf"), ("cache: own/kept", "own/kept"), ("cache: ''", None)],
)
def test_costly_results_are_kept_beside_the_config(option: str, folder: str | None, tmp_path: Path) -> None:
    # Cards of its own: MkDocs keeps the plugin within one process, and the plugin what was built from equal cards.
    cards: Entries = {**VARIANT, "tests/look": {"title": option}}
    config = make_site(tmp_path, cards, CONFIG.replace("[faultleaf]", f"[faultleaf: {{{option}}}]"))
    config.plugins.on_pre_build(config=config)
    folders = {path.parent.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*.json.gz")}
    assert (folder in folders) if folder else not folders
    assert all(name == folder or name.startswith(f"{folder}/") for name in folders)


def test_shakings_are_as_often_as_the_config_says(tmp_path: Path) -> None:
    # Equal cards, so that the number alone decides.
    for number in (3, 2):
        home = tmp_path / str(number)
        home.mkdir()
        text = CONFIG.replace("[faultleaf]", f"[faultleaf: {{shakings: {number}}}]")
        config = make_site(home, VARIANT, text)
        plugin = config.plugins["faultleaf"]
        assert isinstance(plugin, FaultleafPlugin)
        plugin.on_pre_build(config=config)
        page = next(page for page in plugin._site().pages if page.path == "about-the-numbers.html")
        assert f"{number} of {number}" in page.html
