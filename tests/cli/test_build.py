"""cli/build.py: beside and swap; whatever goes wrong, what was there stays byte for byte."""

import os
import signal
from pathlib import Path

import pytest
from faultleaf.cli import build, main
from faultleaf.cli.exchange import exchange
from faultleaf.plugin.published import LIST, write_list

from tests.library import Entries, write_library

CARDS: Entries = {
    "symptoms/overfills": {"variants": {"any feed": {"feed": "manual"}}},
    "faults/valve": {
        "symptoms": {"overfills": "often"}, "shows": {"hold": "seen, usually"},
        "repair": {"title": "Mend it", "takes": "30 min", "proof": "log"},
    },
    "tests/hold": {},
    "proofs/log": {},
    "equipment": {"feed": {
        "title": "Feed", "asks": "How is water fed?",
        "values": {"manual": {"title": "By hand", "share": 0.4}, "automatic": {"title": "By a feeder", "share": 0.6}},
    }},
}  # fmt: skip
CONFIG = """\
site_name: A tiny site
use_directory_urls: false
docs_dir: content
theme: {name: material, font: false}
plugins: [faultleaf]
"""


def files_of(root: Path) -> dict[str, bytes]:
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in sorted(root.rglob("*")) if path.is_file()}


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A tiny site's folder, and we are in it."""
    write_library(tmp_path / "content", CARDS)
    (tmp_path / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def fake(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """MkDocs replaced by something quick: it writes two files, and ends with the exit codes of this list in turn."""
    codes: list[int] = []

    def pretend(config: Path, target: Path) -> bool:
        target.mkdir()
        (target / "index.html").write_text(f"built from {config.name}", encoding="utf-8")
        write_list(target)
        return not (codes.pop(0) if codes else 0)

    monkeypatch.setattr(build, "run_mkdocs", pretend)
    return codes


def test_build_in_earnest_swaps_only_what_is_whole(home: Path, capfd: pytest.CaptureFixture[str]) -> None:
    site = home / "site"
    assert main(["build"]) == 0, capfd.readouterr().err
    assert capfd.readouterr().out.endswith(f"The site is ready. Open {Path('site/index.html')} in a browser.\n")
    first = files_of(site)
    assert {"index.html", "faults/valve.html", "charts/overfills--any-feed.html", LIST} <= set(first)

    card = home / "content/faults/valve.md"
    good = card.read_text(encoding="utf-8")
    card.write_text(good.replace("component: part", "component: prat"), encoding="utf-8")
    assert main(["build"]) == 1
    said = capfd.readouterr().err
    assert "ERROR   -  content/faults/valve.md:3: component: there is no component 'prat'. Did you mean 'part'?" in said
    assert "1 mistake in the cards; nothing was built." in said
    assert said.endswith("The site was not built. The last good site in 'site' was left as it was.\n")
    assert "Traceback" not in said
    assert files_of(site) == first

    card.write_text(good, encoding="utf-8")
    card.rename(card.with_name("other.md"))
    assert main(["build"]) == 0
    second = files_of(site)
    assert "faults/other.html" in second
    assert "faults/valve.html" not in second
    assert sorted(path.name for path in home.iterdir()) == [".cache", "content", "mkdocs.yml", "site"]


def test_only_what_was_built_last_is_left(home: Path, fake: list[int], capsys: pytest.CaptureFixture[str]) -> None:
    (home / "site").mkdir()  # an empty folder may be built into
    assert main(["build"]) == 0
    assert files_of(home / "site") == {LIST: b"index.html\n", "index.html": b"built from mkdocs.yml"}
    (home / "site/index.html").unlink()
    assert main(["build"]) == 0
    assert files_of(home / "site") == {LIST: b"index.html\n", "index.html": b"built from mkdocs.yml"}
    assert fake == []
    assert capsys.readouterr().err == ""


def test_failed_build_leaves_the_old_site(home: Path, fake: list[int], capsys: pytest.CaptureFixture[str]) -> None:
    main(["build"])
    (home / "site/index.html").write_text("the old one", encoding="utf-8")
    before = files_of(home)
    capsys.readouterr()
    fake.append(1)
    assert main(["build"]) == 1
    assert capsys.readouterr() == (
        "", "The site was not built. The last good site in 'site' was left as it was.\n",
    )  # fmt: skip
    assert files_of(home) == before
    assert sorted(path.name for path in home.iterdir()) == ["content", "mkdocs.yml", "site"]


def test_failed_first_build_leaves_nothing(home: Path, fake: list[int], capsys: pytest.CaptureFixture[str]) -> None:
    fake.append(2)
    assert main(["build", "--site-dir", "deep/down/site"]) == 1
    assert capsys.readouterr() == ("", "The site was not built.\n")
    assert list((home / "deep/down").iterdir()) == []


def test_swap_that_fails_puts_the_old_site_back(
    home: Path, fake: list[int], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["build"])
    before = files_of(home)
    rename = Path.rename

    def refuse_new(self: Path, target: Path) -> Path:
        if self.name == "new":
            raise OSError(28, "No space left on device")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refuse_new)
    capsys.readouterr()
    assert main(["build"]) == 1
    assert capsys.readouterr().err == "faultleaf: 'site' cannot be written: No space left on device\n"
    assert files_of(home) == before
    assert fake == []


@pytest.mark.parametrize("name", ["site.old", "site.building", ".site", "old", "new"])
def test_folders_beside_the_site_are_not_touched(name: str, home: Path, fake: list[int]) -> None:
    beside = home / name
    beside.mkdir()
    (beside / "letter.txt").write_text("Keep me.", encoding="utf-8")
    for code in (0, 0, 1):
        fake.append(code)
        assert main(["build"]) == code
    assert files_of(beside) == {"letter.txt": b"Keep me."}


@pytest.mark.parametrize("target", [".", "content", "mkdocs.yml", ""])
def test_what_is_no_built_site_is_not_touched(
    target: str, home: Path, fake: list[int], capsys: pytest.CaptureFixture[str]
) -> None:
    before = files_of(home)
    assert main(["build", "--site-dir", target]) == 1
    message = f"'{Path(target)}' is not a built site; empty it or choose another folder with --site-dir"
    assert capsys.readouterr().err == f"faultleaf: {message}\n"
    assert files_of(home) == before
    assert fake == []


@pytest.mark.parametrize("name", ["CNAME", ".git/HEAD", "graph.json", "faults/my-notes.txt"])
def test_a_file_that_no_build_wrote_is_never_taken_away(
    name: str, home: Path, fake: list[int], capsys: pytest.CaptureFixture[str]
) -> None:
    main(["build"])
    path = home / "site" / name
    path.parent.mkdir(exist_ok=True)
    path.write_text("mine", encoding="utf-8")
    before = files_of(home)
    capsys.readouterr()
    assert main(["build"]) == 1
    assert capsys.readouterr().err == (
        f"faultleaf: 'site' holds what no build put there: '{name}'. "
        "Move it away, or empty it or choose another folder with --site-dir\n"
    )
    assert files_of(home) == before
    assert fake == []


@pytest.mark.parametrize("left", ["between the renames", "before them", "after them"])
def test_a_swap_that_was_killed_is_mended(
    left: str, home: Path, fake: list[int], capsys: pytest.CaptureFixture[str]
) -> None:
    """What a killed process leaves at each of its steps; the next build fails, so that the old site must be there."""
    main(["build"])
    before = files_of(home)
    work = home / ".site.faultleaf"
    (work / "new").mkdir(parents=True)
    (work / "lock").touch()
    (work / "new/index.html").write_text("half", encoding="utf-8")
    if left == "between the renames":
        (home / "site").rename(work / "old")
    elif left == "after them":
        (work / "old").mkdir()
    fake.append(1)
    capsys.readouterr()
    assert main(["build"]) == 1
    assert files_of(home) == before
    assert ("the last good site was put back" in capsys.readouterr().out) == (left == "between the renames")


def test_two_builds_of_one_site_do_not_meet(home: Path, fake: list[int], capsys: pytest.CaptureFixture[str]) -> None:
    with exchange((home / "site").resolve()):
        assert main(["build"]) == 1
    assert capsys.readouterr().err == "faultleaf: 'site' is being built by another command; wait for it\n"
    assert sorted(path.name for path in home.iterdir()) == ["content", "mkdocs.yml"]
    assert fake == []


def test_a_build_that_is_ended_leaves_nothing_behind(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def end_it(_: Path, target: Path) -> bool:
        target.mkdir()
        os.kill(os.getpid(), signal.SIGTERM)
        return True

    monkeypatch.setattr(build, "run_mkdocs", end_it)
    with pytest.raises(SystemExit):
        main(["build"])
    assert sorted(path.name for path in home.iterdir()) == ["content", "mkdocs.yml"]


def test_the_site_goes_where_mkdocs_yml_says_from_any_folder_below(
    home: Path, fake: list[int], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (home / "mkdocs.yml").write_text(f"{CONFIG}site_dir: public\n", encoding="utf-8")
    monkeypatch.chdir(home / "content/faults")
    assert main(["build"]) == 0
    assert (home / "public/index.html").is_file()
    assert capsys.readouterr().out == f"The site is ready. Open {home / 'public/index.html'} in a browser.\n"
    assert fake == []


def test_a_folder_mounted_by_itself_is_refused_at_once(
    home: Path, fake: list[int], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (home / "site").mkdir()
    monkeypatch.setattr(os.path, "ismount", lambda path: Path(path).name == "site")
    assert main(["build"]) == 1
    assert "'site' is a mount of its own, which cannot be swapped" in capsys.readouterr().err
    assert fake == []


def test_missing_config_is_said(home: Path, fake: list[int], capsys: pytest.CaptureFixture[str]) -> None:
    main(["build"])
    before = files_of(home)
    capsys.readouterr()
    assert main(["build", "--config", "mkdoc.yml"]) == 1
    assert capsys.readouterr() == ("", "faultleaf: there is no file 'mkdoc.yml'\n")
    assert main(["build", "--config", "content"]) == 1
    assert capsys.readouterr().err == "faultleaf: there is no file 'content'\n"
    assert files_of(home) == before
    assert fake == []


def test_folder_that_cannot_be_written_is_said(home: Path, fake: list[int], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", "--site-dir", "mkdocs.yml/deep/site"]) == 1
    assert capsys.readouterr().err == "faultleaf: 'mkdocs.yml/deep/site' cannot be written: Not a directory\n"
    assert fake == []
    assert (home / "mkdocs.yml").read_text(encoding="utf-8") == CONFIG


def test_site_may_be_read_by_everybody(home: Path, fake: list[int]) -> None:
    old = os.umask(0o022)
    try:
        main(["build"])
    finally:
        os.umask(old)
    assert (home / "site").stat().st_mode & 0o777 == 0o755
    assert fake == []
