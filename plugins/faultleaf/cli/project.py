"""Which site a command is about: content folders named by hand, or the mkdocs.yml of this folder or one above it."""

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from faultleaf.cards import Library
from faultleaf.cli.speak import CommandError
from faultleaf.intake import Layer
from faultleaf.pipeline.check import check_content
from faultleaf.plugin.project import Project, ProjectError, find_config, read_project

NO_SITE = (
    "there is no mkdocs.yml in this folder or above it. Go to your site's folder, begin one with "
    "'faultleaf new site NAME', or name a folder of cards with --content"
)


@dataclass(frozen=True)
class Sources:
    """Where a command's cards lie, the base first, the site's name, and where costly results are kept."""

    layers: tuple[Layer, ...]
    name: str = ""
    kept: Path | None = None


def add_project(parser: argparse.ArgumentParser) -> None:
    """Add the options that say which cards are meant."""
    parser.add_argument("--config", metavar="FILE", help="the site's mkdocs.yml (default: the nearest one upwards)")
    parser.add_argument(
        "--content", action="append", metavar="FOLDER", help="cards instead of a site's, the base first"
    )


def layers_of(folders: Sequence[str]) -> tuple[Layer, ...]:
    """Content folders as layers, shown as they were typed."""
    return tuple(Layer(Path(folder), folder.rstrip("/\\")) for folder in folders)


def read_library(options: argparse.Namespace) -> Library:
    """The library that the options name; raises CommandError with every mistake in it."""
    sources = sources_of(options)
    checked = check_content(sources.layers, name=sources.name)
    if checked.library is None:
        lines = "\n".join(str(mistake) for mistake in checked.mistakes)
        raise CommandError(f"{lines}\nThe cards have mistakes; mend them first.")
    return checked.library


def sources_of(options: argparse.Namespace) -> Sources:
    """The folders given by hand, else the site's; raises CommandError where there is neither."""
    if options.content:
        return Sources(layers_of(options.content))
    project = project_of(options)
    return Sources(project.layers, project.name, project.kept)


def project_of(options: argparse.Namespace) -> Project:
    """The site whose mkdocs.yml is named or stands nearest; raises CommandError."""
    config = Path(options.config) if options.config else find_config(Path())
    if config is None:
        raise CommandError(NO_SITE)
    if not config.is_file():
        raise CommandError(f"there is no file '{config}'")
    try:
        return read_project(config)
    except ProjectError as error:
        raise CommandError(str(error)) from None
