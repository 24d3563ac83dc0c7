"""Which files MkDocs is given: generated pages and data in the place of cards, our assets, the navigation."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from markupsafe import escape
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.utils import nest_paths

from faultleaf.cards import CARD_TYPES
from faultleaf.cards.urls import PLANT_PAGE
from faultleaf.export import (
    CALL_FILES,
    CALL_VIEW_FILES,
    ENGINE_FILES,
    PHYSICS_FILES,
    SEARCH_FILES,
    SUM_VIEW_FILES,
    WORK_SCRIPTS,
    WORKSHEET_FILES,
    WORKSHEET_VIEW_FILES,
)
from faultleaf.pages import SitePage
from faultleaf.pipeline.build import Built
from faultleaf.pipeline.shelf import PLANNED

ASSETS: Final = Path(__file__).parent.parent / "assets"
ASSETS_URL: Final = "assets/faultleaf"
FAVICON: Final = f"{ASSETS_URL}/img/favicon.svg"
STYLES: Final = tuple(
    f"{ASSETS_URL}/css/{name}.css" for name in ("font", "look", "cards", "tree", "drawing", "study", "search")
)
SCRIPTS: Final = (
    f"{ASSETS_URL}/js/vendor/minisearch.js",
    f"{ASSETS_URL}/js/vendor/stemmer.js",
    f"{ASSETS_URL}/search-data.js",
    f"{ASSETS_URL}/js/search.js",
    f"{ASSETS_URL}/js/tables-view.js",
    f"{ASSETS_URL}/js/review-view.js",
    f"{ASSETS_URL}/js/study-view.js",
    f"{ASSETS_URL}/js/terms-view.js",
)
CALL_SCRIPTS: Final = (
    f"{ASSETS_URL}/engine-data/shared.js",
    f"{ASSETS_URL}/call-words/shared.js",
    f"{ASSETS_URL}/js/call.js",
)
"""The scripts of the page that works a call, in the order of loading."""
WORKSHEET_SCRIPTS: Final = (*(f"{ASSETS_URL}/{name}" for name in WORK_SCRIPTS), f"{ASSETS_URL}/js/worksheet.js")
"""The scripts of a page that works a sum, in the order of loading."""
_JOINED: Final[Mapping[str, Mapping[str, tuple[str, ...]]]] = {
    "search": {"search": SEARCH_FILES},
    "call": {"engine": ENGINE_FILES, "call": CALL_FILES, "call-view": CALL_VIEW_FILES},
    "sums": {"physics": PHYSICS_FILES, "worksheets": WORKSHEET_FILES, "worksheet-view": SUM_VIEW_FILES},
    "worksheet": {"worksheet-view": WORKSHEET_VIEW_FILES},
}
"""Script of the site → the folders of assets/js that it is joined from, each with its files in the order of loading."""
TITLE_AS_GUEST: Final = "Troubleshooting"
"""Our section in the navigation of a site that is more than its cards."""
_ALONE: Final = ("index.md", "work-the-call.md", "index-of-troubles.md", "about-the-numbers.md")
"""Pages that stand in the navigation outside every section; whatever else has no section is reached by links."""

_CARD_FOLDERS: Final = tuple(card_type.folder for card_type in CARD_TYPES)
_SETTINGS: Final = ("equipment.yml", "sources.yml", "callers.yml", "site.yml")
_SECTIONS: Final = (
    ("What the boiler does", "symptoms"), ("Faults", "faults"), ("Tests", "tests"), ("Components", "components"),
    ("Worksheets", "worksheets"), ("Proofs", "proofs"), ("Cautions", "cautions"), ("Study", "readings"),
    ("Words of the trade", "terms"),
)  # fmt: skip


def replace_cards(files: Files, config: MkDocsConfig, built: Built, home: str = "") -> None:
    """Take the cards out of MkDocs' files and put in what was built from them.

    `home`: the folder of the cards and of their pages, "" or with a slash at its end.
    """
    for file in list(files):
        below = file.src_uri.removeprefix(home)
        ours = below in _SETTINGS or below.startswith(f"{PLANNED}/") or (_is_card(below) and below.endswith(".md"))
        if ours and file.src_uri.startswith(home):
            files.remove(file)
    for page in built.pages:
        source = _source(page, "")
        if page.path == "index.html" and files.get_file_from_path(home + source):
            continue  # a site may write its own home page
        _append(
            files,
            config,
            home + source,
            content=f"# {page.title}\n",
            nav=bool(page.group) or page.path == PLANT_PAGE or source in _ALONE,
        )
    for path in built.pictures:
        if own := files.get_file_from_path(home + path):
            files.remove(own)
    made: dict[str, str | bytes] = {**built.data_files, **built.sheets, **built.pictures}
    for path, content in made.items():
        _append(files, config, home + path, content=content)
    _append_assets(files, config, home)


def navigation(built: Built, files: Files) -> list[Any]:
    """The navigation, its titles as HTML: home, the index, a section for each kind of card, the site's own pages."""
    own = sorted(path for path in _own_pages(files) if path not in _ALONE)
    return [*_sections(built, ""), *own, {"About the numbers": _ALONE[3]}]


def guest_navigation(built: Built, files: Files, home: str, nav: list[Any] | None) -> list[Any]:
    """The navigation of a site that is more than its cards: what it says itself or has by its folders, then ours."""
    own = nav or nest_paths([path for path in _own_pages(files) if not path.startswith(home)])  # type: ignore[no-untyped-call]
    return [*own, {TITLE_AS_GUEST: [*_sections(built, home), {"About the numbers": home + _ALONE[3]}]}]


def _sections(built: Built, home: str) -> list[Any]:
    first = zip(("Home", "Work the call", "Troubleshooting index"), _ALONE, strict=False)
    sections: list[Any] = [{title: home + source} for title, source in first]
    plant = [page for page in built.pages if page.path == PLANT_PAGE]
    sections[1:1] = [{str(escape(page.title)): _source(page, home)} for page in plant]
    for title, group in _SECTIONS:
        pages = sorted((page for page in built.pages if page.group == group), key=_start_page_first)
        if len(pages) == 1:
            sections.append({title: _source(pages[0], home)})
        elif pages:
            others = ({str(escape(page.title)): _source(page, home)} for page in pages[1:])
            sections.append({title: [_source(pages[0], home), *others]})
    return sections


def _own_pages(files: Files) -> list[str]:
    """The pages that the site wrote itself, in MkDocs' order, which takes their titles from them."""
    own = (file for file in files.documentation_pages() if not file.generated_by)
    return [file.src_uri for file in own if file.inclusion != InclusionLevel.NOT_IN_NAV]


def _start_page_first(page: SitePage) -> tuple[bool, str]:
    return not page.path.endswith("/index.html"), page.title.lower()


def _source(page: SitePage, home: str) -> str:
    return f"{home}{page.path.removesuffix('.html')}.md"


def _append_assets(files: Files, config: MkDocsConfig, home: str) -> None:
    """Fonts, styles and scripts; many small scripts that belong together as one, so that a page loads few files."""
    joined = {ASSETS / "js" / folder for folders in _JOINED.values() for folder in folders}
    for asset in sorted(ASSETS.rglob("*")):
        if asset.is_file() and asset.suffix != ".md" and asset.parent not in joined:
            url = f"{home}{ASSETS_URL}/{asset.relative_to(ASSETS).as_posix()}"
            files.append(File.generated(config, url, abs_src_path=str(asset)))
    for name in _JOINED:
        _append(files, config, f"{home}{ASSETS_URL}/js/{name}.js", content=joined_script(name))


def joined_sources(name: str) -> list[Path]:
    """The small scripts that one script of the site is joined from, in the order of loading."""
    return [ASSETS / "js" / folder / f"{file}.js" for folder, names in _JOINED[name].items() for file in names]


def joined_script(name: str) -> str:
    """One script of the site: its sources one after the other."""
    return "".join(source.read_text(encoding="utf-8") for source in joined_sources(name))


def _is_card(path: str) -> bool:
    return path.partition("/")[0] in _CARD_FOLDERS


def _append(files: Files, config: MkDocsConfig, path: str, content: str | bytes, nav: bool = True) -> None:
    inclusion = InclusionLevel.UNDEFINED if nav else InclusionLevel.NOT_IN_NAV
    files.append(File.generated(config, path, content=content, inclusion=inclusion))
