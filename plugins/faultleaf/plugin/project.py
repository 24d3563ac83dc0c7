"""What mkdocs.yml says of a site of cards, read alike for the plugin and for the command."""

from dataclasses import dataclass
from importlib.metadata import entry_points
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Final

import yaml
from mkdocs.exceptions import MkDocsException
from mkdocs.utils.yaml import yaml_load

from faultleaf.cards import did_you_mean
from faultleaf.intake import Layer
from faultleaf.plugin.config import FaultleafConfig

CONFIG_NAMES: Final = ("mkdocs.yml", "mkdocs.yaml")
LIBRARIES: Final = "faultleaf.libraries"
"""The group of entry points under which installed libraries stand: name = package that holds nothing but the cards."""


class ProjectError(Exception):
    """What is wrong with mkdocs.yml, in one sentence that names it."""


@dataclass(frozen=True)
class Project:
    """A site of cards: its mkdocs.yml, its name, what its cards lie on, where results are kept and the site goes."""

    config: Path
    name: str
    layers: tuple[Layer, ...]
    kept: Path | None
    site: Path


def find_config(start: Path) -> Path | None:
    """The mkdocs.yml of this folder or of the nearest one above it."""
    folders = (start.resolve(), *start.resolve().parents)
    return next((folder / name for folder in folders for name in CONFIG_NAMES if (folder / name).is_file()), None)


def read_project(config: Path) -> Project:
    """The site that this mkdocs.yml describes; raises ProjectError."""
    try:
        with config.open("rb") as file:
            said = _fields(yaml_load(file), config.name)
    except OSError as error:
        raise ProjectError(f"'{config}' cannot be read: {error.strerror}") from None
    except (yaml.YAMLError, MkDocsException, UnicodeDecodeError) as error:
        raise ProjectError(f"{config.name}: {error}") from None
    home = config.resolve().parent
    options = FaultleafConfig(config_file_path=str(config))
    options.load_dict(_own_options(said.get("plugins"), config.name))
    wrongs, doubts = options.validate()
    for field, wrong in (*wrongs, *doubts):
        raise ProjectError(f"{config.name}: plugins: faultleaf: {field}: {wrong}")
    docs = home / str(said.get("docs_dir", "docs"))
    return Project(
        config, str(said.get("site_name", "")), tuple(layers_of(options, config, docs)),
        kept_in(options, home), home / str(said.get("site_dir", "site")),
    )  # fmt: skip


def layers_of(options: FaultleafConfig, config: Path, docs: Path) -> list[Layer]:
    """The libraries and the site's own folder of cards, the base first; raises ProjectError."""
    home = config.resolve().parent
    own = Path(docs, options.cards).resolve()
    if not own.is_dir():
        field = "plugins: faultleaf: cards" if options.cards else "docs_dir"
        raise ProjectError(f"{config.name}: {field}: there is no folder '{_shown(own, home)}'")
    libraries = [_library(name, config) for name in options.library]
    return [*libraries, Layer(own, _shown(own, home))]


def kept_in(options: FaultleafConfig, home: Path) -> Path | None:
    """The folder of results kept from build to build."""
    return home / options.cache if options.cache else None


def installed_libraries() -> dict[str, str]:
    """The installed libraries by name, with the package that holds each."""
    return {entry.name: entry.value for entry in entry_points(group=LIBRARIES)}


def _library(name: str, config: Path) -> Layer:
    installed = installed_libraries()
    home = config.resolve().parent
    if name in installed:
        found = find_spec(installed[name])
        for place in (found and found.submodule_search_locations) or ():
            return Layer(Path(place), name)
    folder = (home / name).resolve()
    if not folder.is_dir():
        near = did_you_mean(name, [*installed, *(each.name for each in home.iterdir() if each.is_dir())], " ").strip()
        hint = near or f"Install it ('pip install faultleaf-{name}'), or give a folder beside {config.name}."
        known = f"'{name}' is neither an installed library nor a folder"
        raise ProjectError(f"{config.name}: plugins: faultleaf: library: {known}. {hint}")
    return Layer(folder, folder.name if Path(name).is_absolute() else Path(name).as_posix())


def _fields(given: Any, where: str) -> dict[str, Any]:
    if not isinstance(given, dict):
        raise ProjectError(f"{where}: expected 'name: value' lines")
    return given


def _own_options(plugins: Any, config: str) -> dict[str, Any]:
    """What `plugins` says to ours, in either of the two shapes that MkDocs allows."""
    listed = [{name: given} for name, given in plugins.items()] if isinstance(plugins, dict) else plugins or []
    if not isinstance(listed, list):
        raise ProjectError(f"{config}: plugins: expected a list")
    for entry in listed:
        given = entry if isinstance(entry, dict) else {entry: None}
        if "faultleaf" in given:
            return _fields(given["faultleaf"] or {}, f"{config}: plugins: faultleaf")
    raise ProjectError(f"{config}: plugins: 'faultleaf' is not among them. Add it, or name the folders of cards.")


def _shown(folder: Path, home: Path) -> str:
    """The folder as people know it: from mkdocs.yml, never absolute."""
    return Path(*folder.parts[len(home.parts) :]).as_posix() if folder.is_relative_to(home) else folder.name
