"""The wheels: built from a copy of the sources, put into a folder of their own, and used from an empty one."""

import os
import shutil
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from email import message_from_bytes
from pathlib import Path

import faultleaf
import pytest
from bs4 import BeautifulSoup

ROOT = Path(__file__).resolve().parents[1]
SOURCES = ("pyproject.toml", "README.md", "LICENSE", "plugins", "content")
SYMPTOM = '---\ntitle: "{title}"\nbasis: judgement\nmake_safe: [order-of-valves-unknown]\n---\n'
BUILD = """\
import sys, setuptools.build_meta as backend
target = sys.argv[1]  # the backend puts arguments of its own in its place
backend.build_sdist(target)
backend.build_wheel(target)
"""


def run(folder: Path, *command: str, path: Path | None = None) -> "subprocess.CompletedProcess[str]":
    """A command of the interpreter that sees the packages below `path` before all others."""
    # The network is not asked, and nothing but the wheel can be imported under the name.
    environment = {**os.environ, "PYTHONPATH": str(path or ""), "NO_MKDOCS_2_WARNING": "1"}
    return subprocess.run(
        [sys.executable, *command], cwd=folder, env=environment, capture_output=True, text=True, check=False
    )


@pytest.fixture(scope="module")
def wheels(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The wheel of the program and that of the library."""
    source, made = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("wheels")
    for name in SOURCES:
        if (ROOT / name).is_dir():
            shutil.copytree(
                ROOT / name, source / name, symlinks=True, ignore=shutil.ignore_patterns("*.egg-info", "__pycache__")
            )
        else:
            shutil.copy(ROOT / name, source / name)
    for folder in (source, source / "plugins/steam"):
        done = run(folder, "-c", BUILD, str(made))
        assert done.returncode == 0, done.stderr
    return {path.name.split("-")[0]: path for path in made.glob("*.whl")}


@pytest.fixture(scope="module")
def installed(wheels: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with both wheels in it, as an installer lays them out."""
    folder = tmp_path_factory.mktemp("installed")
    for path in wheels.values():
        with zipfile.ZipFile(path) as wheel:
            wheel.extractall(folder)
    return folder


@pytest.fixture(scope="module")
def site(installed: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site begun in an empty folder, with one symptom of its own; without the library, whose charts take minutes."""
    empty = tmp_path_factory.mktemp("empty")
    done = run(empty, "-m", "faultleaf", "new", "site", "Our boilers", path=installed)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "Wrote our-boilers. Go there, then run 'faultleaf build'.\n"
    return empty / "our-boilers"


def test_sources_hold_what_the_wheels_hold(wheels: dict[str, Path]) -> None:
    for name, wheel in wheels.items():
        (path,) = wheel.parent.glob(f"{name}-*.tar.gz")
        with tarfile.open(path) as sources:
            there = {each.name.partition("/")[2].removeprefix("plugins/") for each in sources if each.isfile()}
        with zipfile.ZipFile(wheel) as built:
            needed = {each for each in built.namelist() if ".dist-info/" not in each}
        assert needed - there == set()
        assert {"pyproject.toml", "README.md", "LICENSE"} <= there


def test_wheel_holds_every_file_of_the_package(wheels: dict[str, Path]) -> None:
    package = ROOT / "plugins/faultleaf"
    there = [path for path in package.rglob("*") if path.is_file() and "__pycache__" not in path.parts]
    with zipfile.ZipFile(wheels["faultleaf"]) as wheel:
        names = {name for name in wheel.namelist() if ".dist-info/" not in name}
    assert names == {f"faultleaf/{path.relative_to(package).as_posix()}" for path in there}
    assert {"faultleaf/py.typed", "faultleaf/plugin/theme/fl-card.html"} <= names


def test_wheel_of_the_library_holds_every_card(wheels: dict[str, Path]) -> None:
    with zipfile.ZipFile(wheels["faultleaf_steam"]) as wheel:
        names = {name for name in wheel.namelist() if ".dist-info/" not in name}
    there = [path for path in (ROOT / "content").rglob("*") if path.is_file()]
    assert names == {f"faultleaf_steam/{path.relative_to(ROOT / 'content').as_posix()}" for path in there}


def test_there_is_one_version(wheels: dict[str, Path]) -> None:
    said = {}
    for name, path in wheels.items():
        with zipfile.ZipFile(path) as wheel:
            (metadata,) = [each for each in wheel.namelist() if each.endswith(".dist-info/METADATA")]
            said[name] = message_from_bytes(wheel.read(metadata))
    assert {one["Version"] for one in said.values()} == {faultleaf.__version__}
    assert said["faultleaf_steam"].get_all("Requires-Dist") == [f"faultleaf=={faultleaf.__version__}"]
    assert {one["License-Expression"] for one in said.values()} == {"MIT"}


def test_every_dependency_says_why() -> None:
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    needed = tomllib.loads(text)["project"]["dependencies"]
    lines = [line.strip() for line in text.splitlines()]
    for one in needed:
        (line,) = [each for each in lines if each.startswith(f'"{one}",')]
        assert "  # " in line, one


def test_site_stands_on_the_installed_library(site: Path, installed: Path) -> None:
    done = run(site / "content/cautions", "-m", "faultleaf", "check", path=installed)
    assert (done.returncode, done.stdout, done.stderr) == (0, "0 mistakes, 0 warnings.\n", "")
    done = run(site, "-m", "faultleaf", "work", "leak-rate", "rise=1", "time=8 h", path=installed)
    assert done.returncode == 0, done.stderr


def test_site_is_built_from_the_wheel_alone(site: Path, installed: Path, tmp_path: Path) -> None:
    site = shutil.copytree(site, tmp_path / "copy")
    config = (site / "mkdocs.yml").read_text(encoding="utf-8")
    (site / "alone.yml").write_text(config.replace("      library: [steam]", "      library: []"), encoding="utf-8")
    (site / "content/symptoms").mkdir()
    (site / "content/symptoms/hums.md").write_text(SYMPTOM.format(title="It hums"), encoding="utf-8")
    done = run(site, "-m", "faultleaf", "build", "--config", "alone.yml", path=installed)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.endswith("The site is ready. Open site/index.html in a browser.\n")
    page = BeautifulSoup((site / "site/symptoms/hums.html").read_text(encoding="utf-8"), "html.parser")
    assert page.title is not None
    assert page.title.text == "It hums - Our boilers"
    assert page.select_one(".fl-footer") is not None
    assert page.body is not None
    assert page.body["data-md-color-scheme"] == "fl-light"
    named = [str(tag.get("href") or tag.get("src")) for tag in page.select("link[href], script[src]")]
    assert [name for name in named if not (site / "site/symptoms" / name).is_file()] == []
    fonts = {path.name for path in (site / "site/assets/faultleaf/fonts").iterdir()}
    assert {"NotoSans-subset-Regular.ttf", "OFL.txt"} <= fonts
