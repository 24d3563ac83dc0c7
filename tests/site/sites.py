"""Built sites, and what the tests ask of them."""

import fcntl
import os
import pickle
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar
from unittest.mock import patch
from urllib.parse import unquote

from bs4 import BeautifulSoup, Tag
from faultleaf.cards import Library
from faultleaf.pages import SitePage, WorkedSymptom
from faultleaf.pipeline import build as pipeline
from faultleaf.pipeline.work import Worked, work_everything
from faultleaf.plugin.plugin import FaultleafPlugin
from mkdocs.commands.build import build
from mkdocs.config import load_config

from tests.counts import one_in

REPOSITORY = Path(__file__).resolve().parents[2]
DEMO = REPOSITORY / "site_demo"
KEPT = REPOSITORY / ".cache/tests"
SMALL_LIBRARY = REPOSITORY / "tests/intake/sound"
REDRAWN = 5
"""One in so many of what the first build drew is drawn anew by its twin; in the bench, everything."""
NOT_FOUND = "404.html"
"""Shown by a host for any wrong address; nobody links to it."""

T = TypeVar("T")

SMALL_CONFIG = """\
site_name: A small site
use_directory_urls: false
docs_dir: content
theme: {name: material, font: false}
plugins: [faultleaf]
"""


@dataclass(frozen=True)
class Site:
    """A built site: its folder, the values it was made from, and its pages by path, read once."""

    root: Path
    library: Library
    made: tuple[SitePage, ...]
    pages: Mapping[str, BeautifulSoup]

    def page(self, path: str) -> BeautifulSoup:
        """The page at this path from the site's root."""
        return self.pages[path]

    def below(self, folder: str) -> list[str]:
        """The pages straight below a folder, its start page left out, sorted."""
        return [path for path in self.pages if path.startswith(f"{folder}/") and not path.endswith("/index.html")]


@dataclass(frozen=True)
class Twin:
    """The same site from a process of its own: its folder, the exit code and what the build said."""

    root: Path
    code: int
    said: str


@dataclass(frozen=True)
class Build:
    """A build of a site, and the values that it was made from."""

    root: Path
    library: Library
    made: tuple[SitePage, ...]
    worked: Mapping[str, WorkedSymptom]


def build_demo(target: Path) -> Build:
    """Build the demonstration in this process, with what earlier runs of the tests have drawn."""
    worked: list[Worked] = []

    def work(*asked: Any) -> Worked:
        worked.append(work_everything(*asked))
        return worked[-1]

    with patch.dict(os.environ, FAULTLEAF_CACHE=str(KEPT)), patch.object(pipeline, "work_everything", work):
        library, made = build_here(DEMO / "mkdocs.yml", target)
    return Build(target, library, made, worked[0].symptoms)


def build_demo_elsewhere(target: Path) -> Twin:
    """The same in another process, under another hash seed; one in `REDRAWN` of what was drawn before is drawn anew."""
    kept = target.parent / "kept"
    shutil.copytree(KEPT, kept)
    for file in one_in(REDRAWN, sorted(path for path in kept.rglob("*") if path.is_file())):
        file.unlink()
    with patch.dict(os.environ, FAULTLEAF_CACHE=str(kept)):
        return build_elsewhere(DEMO / "mkdocs.yml", target, hash_seed="20261125")


def once(home: Path, name: str, make: Callable[[], T]) -> T:
    """What `make` gives, made by the first process that asks; the others wait for it and read it.

    The workers of pytest-xdist share `home`. (Its groups of tests do not hold under pytest 9.2.)
    """
    kept = home / f"{name}.pickle"
    with locked(home / f"{name}.lock"):
        if not kept.exists():
            kept.write_bytes(pickle.dumps(make()))
        made: T = pickle.loads(kept.read_bytes())
    return made


@contextmanager
def locked(file: Path) -> Iterator[None]:
    """Only one of the processes that share the file is inside at a time."""
    with file.open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def build_here(config_file: Path, target: Path) -> tuple[Library, tuple[SitePage, ...]]:
    """Build with MkDocs in this process, warnings being errors; what the site was made from."""
    config = load_config(str(config_file), site_dir=str(target), strict=True)
    build(config)
    plugin = config.plugins["faultleaf"]
    assert isinstance(plugin, FaultleafPlugin)
    made = plugin._built  # a site has no other way to tell which of its pages tell somebody to act
    assert made is not None
    return made.library, made.pages


def build_elsewhere(config_file: Path, target: Path, hash_seed: str) -> Twin:
    """The same build in a process of its own, under this PYTHONHASHSEED."""
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "--config-file", str(config_file)]
    environment = {**os.environ, "PYTHONHASHSEED": hash_seed, "NO_MKDOCS_2_WARNING": "1"}
    done = subprocess.run(
        [*command, "--site-dir", str(target)],
        env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False,
    )  # fmt: skip
    return Twin(target, done.returncode, done.stdout)


def read_pages(root: Path) -> Iterator[tuple[str, BeautifulSoup]]:
    """Every page below `root` with its path, sorted."""
    for path in sorted(root.rglob("*.html")):
        yield path.relative_to(root).as_posix(), BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser")


def read_bytes(root: Path) -> dict[str, bytes]:
    """Every file below `root` by its path."""
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in sorted(root.rglob("*")) if path.is_file()}


def make_small_site(home: Path, **pages: str) -> Path:
    """A site of a few invented cards in `home`, with pages of its own (name=Markdown); its mkdocs.yml."""
    shutil.copytree(SMALL_LIBRARY, home / "content")
    for name, text in pages.items():
        (home / "content" / f"{name}.md").write_text(text, encoding="utf-8")
    config = home / "mkdocs.yml"
    config.write_text(SMALL_CONFIG, encoding="utf-8")
    return config


def links_of(page: BeautifulSoup) -> Iterator[tuple[Tag, str]]:
    """Every element that leads or loads somewhere, and where to."""
    for name in ("href", "src", "xlink:href", "action", "data", "poster", "srcset"):
        for tag in page.find_all(lambda tag, name=name: tag.has_attr(name)):
            assert isinstance(tag, Tag)
            yield tag, str(tag[name])


def target_of(path: str, address: str) -> tuple[str, str]:
    """Which file and anchor an address inside a page leads to, both "" where it stays on the page.

    >>> target_of("faults/a.html", "../tests/b.html#steps"), target_of("404.html", "/index.html")
    (('tests/b.html', 'steps'), ('index.html', ''))
    """
    file, _, anchor = unquote(address).partition("#")
    if not file:
        return path, anchor
    parts: list[str] = [] if file.startswith("/") else path.split("/")[:-1]
    for part in file.partition("?")[0].lstrip("/").split("/"):
        if part == "..":
            parts.pop()  # an address that leaves the site fails here
        elif part not in (".", ""):
            parts.append(part)
    return "/".join(parts) or "index.html", anchor


def largest_of_each_kind(site: Site) -> list[str]:
    """The page with the most text of every folder and, of the rest, all: where a layout breaks first."""
    largest: dict[str, str] = {}
    for path in site.pages:
        folder = path.rpartition("/")[0] if "/" in path and not path.endswith("/index.html") else path
        best = largest.get(folder, path)
        largest[folder] = max(best, path, key=lambda each: (site.root / each).stat().st_size)
    return sorted(set(largest.values()) - {NOT_FOUND})


def squeezed(text: str) -> str:
    """The text without white space, so that line breaks of a print do not count."""
    return "".join(text.split())
