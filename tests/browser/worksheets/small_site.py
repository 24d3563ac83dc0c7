"""A site of the shipped worksheets alone, built with the shipped theme."""

import shutil
from pathlib import Path

from mkdocs.commands.build import build
from mkdocs.config import load_config

from tests.site.sites import REPOSITORY

PARTS = ("worksheets", "cautions", "sources.yml", "site.yml")


def build_worksheet_site(home: Path) -> Path:
    """The folder of the built site below `home`."""
    (home / "content").mkdir(parents=True)
    for part in PARTS:
        source, target = REPOSITORY / "content" / part, home / "content" / part
        shutil.copytree(source, target) if source.is_dir() else shutil.copy(source, target)
    shutil.copy(REPOSITORY / "mkdocs.yml", home / "mkdocs.yml")
    build(load_config(str(home / "mkdocs.yml"), site_dir=str(home / "site")))
    return home / "site"
