"""Which files MkDocs is given: generated pages and data in the place of cards, our assets, the navigation."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from markupsafe import escape
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel

from faultleaf.cards import CARD_TYPES
from faultleaf.export import (
    CALL_FILES,
    CALL_VIEW_FILES,
    ENGINE_FILES,
    PHYSICS_FILES,
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
STYLES: Final = tuple(f"{ASSETS_URL}/css/{name}.css" for name in ("font", "look", "cards", "graph", "search"))
SCRIPTS: Final = (
    f"{ASSETS_URL}/js/vendor/minisearch.js",
    f"{ASSETS_URL}/js/vendor/stemmer.js",
    f"{ASSETS_URL}/js/search-core.js",
    f"{ASSETS_URL}/search-data.js",
    f"{ASSETS_URL}/js/search-view.js",
    f"{ASSETS_URL}/js/tables-view.js",
    f"{ASSETS_URL}/js/review-view.js",
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
    "call": {"engine": ENGINE_FILES, "call": CALL_FILES, "call-view": CALL_VIEW_FILES},
    "sums": {"physics": PHYSICS_FILES, "worksheets": WORKSHEET_FILES, "worksheet-view": SUM_VIEW_FILES},
    "worksheet": {"worksheet-view": WORKSHEET_VIEW_FILES},
}
"""Script of the site → the folders of assets/js that it is joined from, each with its files in the order of loading."""
_ALONE: Final = ("index.md", "work-the-call.md", "index-of-troubles.md", "about-the-numbers.md")
"""Pages that stand in the navigation outside every section; whatever else has no section is reached by links."""

_CARD_FOLDERS: Final = tuple(card_type.folder for card_type in CARD_TYPES)
_SETTINGS: Final = ("equipment.yml", "sources.yml", "site.yml")
_SECTIONS: Final = (
    ("What the boiler does", "symptoms"), ("Faults", "faults"), ("Tests", "tests"), ("Components", "components"),
    ("Worksheets", "worksheets"), ("Proofs", "proofs"), ("Cautions", "cautions"), ("Study", "readings"),
    ("Words of the trade", "terms"),
)  # fmt: skip


def replace_cards(files: Files, config: MkDocsConfig, built: Built) -> None:
    """Take the cards out of MkDocs' files and put in what was built from them."""
    for file in list(files):
        ours = file.src_uri in _SETTINGS or file.src_uri.startswith(f"{PLANNED}/")
        if ours or (_is_card(file) and file.src_uri.endswith(".md")):
            files.remove(file)
    for page in built.pages:
        source = page.path.removesuffix(".html") + ".md"
        if page.path == "index.html" and files.get_file_from_path(source):
            continue  # a site may write its own home page
        _append(files, config, source, content=f"# {page.title}\n", nav=bool(page.group) or source in _ALONE)
    for path, text in built.data_files.items():
        _append(files, config, path, content=text)
    for path, pdf in built.sheets.items():
        _append(files, config, path, content=pdf)
    for path, picture in built.pictures.items():
        if own := files.get_file_from_path(path):
            files.remove(own)
        _append(files, config, path, content=picture)
    _append_assets(files, config)


def navigation(built: Built, files: Files) -> list[Any]:
    """The navigation, its titles as HTML: home, the index, a section for each kind of card, the site's own pages."""
    sections: list[Any] = [{"Home": _ALONE[0]}, {"Work the call": _ALONE[1]}, {"Troubleshooting index": _ALONE[2]}]
    for title, group in _SECTIONS:
        pages = sorted((page for page in built.pages if page.group == group), key=_start_page_first)
        if len(pages) == 1:
            sections.append({title: _source(pages[0])})
        elif pages:
            others = ({str(escape(page.title)): _source(page)} for page in pages[1:])
            sections.append({title: [_source(pages[0]), *others]})
    return [*sections, *_own_pages(files), {"About the numbers": _ALONE[3]}]


def _own_pages(files: Files) -> list[str]:
    """The pages that the site wrote itself, by path; MkDocs takes their titles from them."""
    own = (file for file in files.documentation_pages() if not file.generated_by and file.src_uri not in _ALONE)
    return sorted(file.src_uri for file in own if file.inclusion != InclusionLevel.NOT_IN_NAV)


def _start_page_first(page: SitePage) -> tuple[bool, str]:
    return not page.path.endswith("/index.html"), page.title.lower()


def _source(page: SitePage) -> str:
    return page.path.removesuffix(".html") + ".md"


def _append_assets(files: Files, config: MkDocsConfig) -> None:
    """Fonts, styles and scripts; many small scripts that belong together as one, so that a page loads few files."""
    joined = {ASSETS / "js" / folder for folders in _JOINED.values() for folder in folders}
    for asset in sorted(ASSETS.rglob("*")):
        if asset.is_file() and asset.suffix != ".md" and asset.parent not in joined:
            url = f"{ASSETS_URL}/{asset.relative_to(ASSETS).as_posix()}"
            files.append(File.generated(config, url, abs_src_path=str(asset)))
    for name in _JOINED:
        _append(files, config, f"{ASSETS_URL}/js/{name}.js", content=joined_script(name))


def joined_sources(name: str) -> list[Path]:
    """The small scripts that one script of the site is joined from, in the order of loading."""
    return [ASSETS / "js" / folder / f"{file}.js" for folder, names in _JOINED[name].items() for file in names]


def joined_script(name: str) -> str:
    """One script of the site: its sources one after the other."""
    return "".join(source.read_text(encoding="utf-8") for source in joined_sources(name))


def _is_card(file: File) -> bool:
    return file.src_uri.partition("/")[0] in _CARD_FOLDERS


def _append(files: Files, config: MkDocsConfig, path: str, content: str | bytes, nav: bool = True) -> None:
    inclusion = InclusionLevel.UNDEFINED if nav else InclusionLevel.NOT_IN_NAV
    files.append(File.generated(config, path, content=content, inclusion=inclusion))
