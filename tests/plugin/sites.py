"""Tiny sites for tests of the plugin, built by MkDocs in this process."""

from pathlib import Path

from bs4 import BeautifulSoup
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig

from tests.library import Entries, write_library

CONFIG = """\
site_name: A tiny site
use_directory_urls: false
docs_dir: content
theme: {name: material, font: false}
plugins: [faultleaf]
"""


def make_site(home: Path, cards: Entries, config: str = CONFIG) -> MkDocsConfig:
    """Write the cards and the config below `home`; the config as MkDocs reads it."""
    (home / "content").mkdir()
    write_library(home / "content", cards)
    (home / "mkdocs.yml").write_text(config, encoding="utf-8")
    return load_config(str(home / "mkdocs.yml"), site_dir=str(home / "site"), strict=True)


def build_site(config: MkDocsConfig) -> dict[str, BeautifulSoup]:
    """Build it; its pages by path."""
    build(config)
    site = Path(config.site_dir)
    pages = sorted(site.rglob("*.html"))
    return {
        path.relative_to(site).as_posix(): BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser")
        for path in pages
    }
