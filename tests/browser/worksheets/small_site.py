"""A site of the shipped worksheets and survey alone, built with the shipped theme."""

import shutil
from pathlib import Path

from faultleaf.intake import Layer, read_library
from mkdocs.commands.build import build
from mkdocs.config import load_config

from tests.library import Entries, write_library
from tests.site.sites import REPOSITORY

PARTS = ("worksheets", "surveys", "cautions", "sources.yml", "site.yml", "equipment.yml")


def _stubs() -> Entries:
    """The faults that the survey leads to, bare, and a symptom that wants no plan."""
    library = read_library([Layer(REPOSITORY / "content", "content")]).library
    assert library is not None
    faults = {name for survey in library.surveys.values() for check in survey.checks.values() for name in check.faults}
    stubs = {f"faults/{name}": {"title": library.faults[name].title} for name in sorted(faults)}
    return {**stubs, "symptoms/smell-of-gas": {"title": "Smell of gas", "emergency": "yes"}}


def build_worksheet_site(home: Path) -> Path:
    """The folder of the built site below `home`."""
    write_library(home / "content", _stubs())
    for part in PARTS:
        source, target = REPOSITORY / "content" / part, home / "content" / part
        shutil.copytree(source, target) if source.is_dir() else shutil.copy(source, target)
    shutil.copy(REPOSITORY / "mkdocs.yml", home / "mkdocs.yml")
    build(load_config(str(home / "mkdocs.yml"), site_dir=str(home / "site")))
    return home / "site"
