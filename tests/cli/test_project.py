"""Every command finds its site: the mkdocs.yml of this folder or one above it, its library, its name, its results."""

from pathlib import Path

import pytest
from faultleaf.cards import CARD_TYPES, Card, Fault
from faultleaf.cards.models import Repair
from faultleaf.cards.settings import SiteValues
from faultleaf.cli import main
from faultleaf.cli.new_site import site_text
from faultleaf.cli.skeletons import skeleton
from faultleaf.plugin import project as projects
from faultleaf.plugin.project import find_config, read_project
from pypdf import PdfReader

from tests.library import Entries, card_text, write_library

CONFIG = """\
site_name: "Our <boilers>"
docs_dir: content
use_directory_urls: false
theme: {name: material, font: false}
plugins:
  - search
  - faultleaf: {library: [base], cache: kept}
"""
BASE: Entries = {
    "equipment": {"feed": {
        "title": "Feed", "asks": "How?",
        "values": {"hand": {"title": "By hand", "share": 0.5}, "feeder": {"title": "By a feeder", "share": 0.5}},
    }},
    "symptoms/overfills": {"variants": {"by hand": {"feed": "hand"}}},
    "faults/valve": {
        "symptoms": {"overfills": "often"}, "shows": {"hold": "seen, nearly-always"},
        "repair": {"title": "Mend it", "takes": "30 min", "proof": "log"},
    },
    "tests/hold": {"otherwise": "unseen"},
    "tests/unused": {},
    "proofs/log": {},
}  # fmt: skip
OWN: Entries = {"tests/mine": {"title": "My own look"}}


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A site of one card on top of a library, and we are deep in its folder of cards."""
    write_library(tmp_path / "base", BASE)
    write_library(tmp_path / "content", OWN)
    (tmp_path / "content/faults").mkdir(exist_ok=True)
    (tmp_path / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    monkeypatch.chdir(tmp_path / "content/tests")
    return tmp_path


def test_only_ones_own_cards_are_warned_about(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[-1] == f"0 mistakes, {len(lines) - 1} warnings."
    assert any("[unused-test]" in line for line in lines)
    assert [line for line in lines[:-1] if not line.startswith("content/tests/mine.md:")] == []
    assert main(["check", str(home / "base")]) == 0
    assert "base/tests/unused.md:2: warning: no fault, symptom or test names this test" in capsys.readouterr().out


def test_mistakes_of_the_library_are_named_all_the_same(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (home / "base/tests/unused.md").write_text(card_text({"title": "x", "tkaes": "5 min"}), encoding="utf-8")
    assert main(["check"]) == 1
    assert "base/tests/unused.md:3: tkaes: " in capsys.readouterr().out


def test_every_command_reads_the_sites_cards(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rank", "overfills", "--found", "mine=seen"]) == 0
    assert main(["plan", "overfills"]) == 0
    assert main(["work"]) == 0
    assert main(["sheet", "overfills", "--out", "sheet.pdf"]) == 0
    assert capsys.readouterr().err == ""
    assert list((home / "kept").glob("*.json.gz"))
    assert PdfReader("sheet.pdf").pages[0].extract_text().count("Our <boilers>") >= 1
    assert main(["new", "fault", "A leak"]) == 0
    assert (home / "content/faults/a-leak.md").is_file()


def test_without_a_site_the_way_to_one_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for arguments in (["check"], ["rank", "x"], ["new", "fault", "A leak"], ["build"], ["book", "--out", "x.pdf"]):
        assert main(arguments) == 1
        said = capsys.readouterr().err
        assert said.startswith("faultleaf: there is no mkdocs.yml in this folder or above it. ")
        assert "faultleaf new site NAME" in said
    assert list(tmp_path.iterdir()) == []


WRONG = {
    "library: [bse]": "library: 'bse' is neither an installed library nor a folder. Did you mean 'base'?",
    "library: [zzzz]": "library: 'zzzz' is neither an installed library nor a folder. Install it "
    "('pip install faultleaf-zzzz'), or give a folder beside mkdocs.yml.",
    "shakings: -3": "shakings: expected a whole number from 0 to 1000, found -3",
    "shakings: true": "shakings: expected a whole number from 0 to 1000, found True",
    "shakings: 1e300": "shakings: expected a whole number from 0 to 1000, found '1e300'",
    "librray: [base]": "librray: Unrecognised configuration name: librray",
}


@pytest.mark.parametrize(("option", "message"), WRONG.items(), ids=WRONG)
def test_a_wrong_option_is_named_with_its_file(
    option: str, message: str, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = CONFIG.replace("library: [base], cache: kept", option)
    (home / "mkdocs.yml").write_text(text, encoding="utf-8")
    assert main(["check"]) == 1
    assert capsys.readouterr() == ("", f"faultleaf: mkdocs.yml: plugins: faultleaf: {message}\n")


BROKEN = {
    "site_name: [": "mkdocs.yml: ",
    "site_name: x\nplugins: [search]\n": "mkdocs.yml: plugins: 'faultleaf' is not among them.",
    "- a\n- b\n": "mkdocs.yml: expected 'name: value' lines",
    "": "mkdocs.yml: plugins: 'faultleaf' is not among them.",
    "site_name: x\nplugins: 3\n": "mkdocs.yml: plugins: expected a list",
    "site_name: x\nplugins: [faultleaf: 3]\n": "mkdocs.yml: plugins: faultleaf: expected 'name: value' lines",
    "site_name: x\nINHERIT: none.yml\nplugins: [faultleaf]\n": "mkdocs.yml: ",
}


@pytest.mark.parametrize(("text", "message"), BROKEN.items())
def test_a_broken_mkdocs_yml_is_a_sentence(
    text: str, message: str, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (home / "mkdocs.yml").write_text(text, encoding="utf-8")
    assert main(["check"]) == 1
    assert capsys.readouterr().err.startswith(f"faultleaf: {message}")


@pytest.mark.parametrize("plugins", ["[faultleaf: {library: [base]}]", "{faultleaf: {library: [base]}}"])
def test_both_shapes_of_plugins_are_read(plugins: str, home: Path) -> None:
    path = home / "mkdocs.yml"
    path.write_text(f"site_name: x\ndocs_dir: content\nplugins: {plugins}\n", encoding="utf-8")
    found = find_config(home / "content/tests")
    assert found == path
    assert [layer.shown for layer in read_project(path).layers] == ["base", "content"]


def test_an_installed_library_is_found_by_its_name(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(projects, "installed_libraries", lambda: {"steam": "a_library"})
    (home / "packages/a_library").mkdir(parents=True)
    monkeypatch.syspath_prepend(home / "packages")
    text = CONFIG.replace("[base]", "[steam]")
    (home / "mkdocs.yml").write_text(text, encoding="utf-8")
    base = read_project(home / "mkdocs.yml").layers[0]
    assert (base.shown, base.root) == ("steam", home / "packages/a_library")


def test_a_new_site_has_no_mistake_and_every_value_explained(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["new", "site", 'Our "boilers" & more: {x}']) == 0
    home = tmp_path / "our-boilers-more-x"
    assert capsys.readouterr().out.endswith(f"Wrote {home.name}. Go there, then run 'faultleaf build'.\n")
    project = home / "mkdocs.yml"
    project.write_text(project.read_text(encoding="utf-8").replace("[steam]", "[]"), encoding="utf-8")
    assert read_project(project).name == 'Our "boilers" & more: {x}'
    assert main(["check", "--config", str(project)]) == 0
    assert main(["new", "site", "Our boilers more x"]) == 1
    assert capsys.readouterr().err == "faultleaf: 'our-boilers-more-x' exists already\n"


def test_values_of_a_new_site_are_right_as_they_stand(tmp_path: Path) -> None:
    """With the marks of comments taken away, every field is said, and none is wrong."""
    said = [line for line in site_text().splitlines(keepends=True) if not (line[:2] == "# " and line[2].isalpha())]
    text = "".join(line.removeprefix("#") for line in said)
    assert {line.partition(":")[0] for line in text.splitlines() if line[:1].isalpha()} == set(SiteValues.model_fields)
    assert all(field.description for field in SiteValues.model_fields.values())
    root = write_library(tmp_path / "content", {"pictures/our-mark": {"file": "m.svg"}, "pictures/m.svg": "<svg/>"})
    (root / "site.yml").write_text(text, encoding="utf-8")
    assert main(["check", str(root)]) == 0


def test_readme_lists_the_values_of_a_site() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    rows = [line.split("`")[1] for line in readme.partition("### site.yml")[2].splitlines() if line.startswith("| `")]
    assert rows == list(SiteValues.model_fields)


@pytest.mark.parametrize("card_type", CARD_TYPES, ids=lambda each: each.kind)
def test_a_new_card_leaves_no_field_out(card_type: type[Card]) -> None:
    lines = [line.removeprefix("# ") for line in skeleton(card_type, "T").splitlines()]
    top = {line.partition(":")[0] for line in lines}
    assert set(card_type.model_fields) - {"id", "body"} <= top
    if card_type is Fault:
        within = {line.removeprefix("  ").removeprefix("# ").partition(":")[0] for line in lines if line[:2] == "  "}
        assert set(Repair.model_fields) <= within


def test_a_new_card_names_the_ids_that_there_are(home: Path) -> None:
    assert main(["new", "fault", "A leak"]) == 0
    text = (home / "content/faults/a-leak.md").read_text(encoding="utf-8")
    assert "# COMPONENT-ID: part\n" in text
    assert "# TEST-ID: hold, mine, unused\n" in text
    assert "# PROOF-ID: log\n" in text
