"""`faultleaf sheet`: a file, or one sentence that says what is wrong."""

from pathlib import Path

import pytest
from faultleaf.cli import main
from pypdf import PdfReader

from tests.library import Entries, write_library

VALUES = {"automatic": {"title": "By a feeder", "share": 0.6}, "manual": {"title": "By hand", "share": 0.4}}
CARDS: Entries = {
    "equipment": {
        "feed": {"title": "Feed", "asks": "How?", "values": VALUES},
        "coil": {"title": "Coil", "asks": "Is there one?", "values": {
            "none": {"title": "No coil", "share": 0.5}, "fitted": {"title": "Coil", "share": 0.5},
        }},
    },
    "symptoms/overfills": {"variants": {
        "by a feeder": {"feed": "automatic", "coil": "none"},
        "by hand": {"feed": "manual", "coil": "none"},
        "by hand, coil": {"feed": "manual", "coil": "fitted"},
    }},
    "symptoms/gas": {"emergency": "yes", "variants": {"by hand": {"feed": "manual"}}},
    "symptoms/bangs": {},
    "faults/valve": {
        "symptoms": {"overfills": "often", "gas": "often", "bangs": "often"},
        "shows": {"hold": "seen, nearly-always"},
        "repair": {"title": "Mend it", "takes": "30 min", "proof": "log"},
    },
    "tests/hold": {"otherwise": "unseen"},
    "proofs/log": {},
}  # fmt: skip


@pytest.fixture(scope="module")
def content(tmp_path_factory: pytest.TempPathFactory) -> str:
    return str(write_library(tmp_path_factory.mktemp("content"), CARDS))


def run(content: str, *arguments: str) -> int:
    return main(["sheet", *arguments, "--content", content])


def test_a_sheet_of_one_page_and_with_its_back_of_two(content: str, tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    assert run(content, "overfills", "--has", "feed=automatic", "--out", str(out)) == 0
    (page,) = PdfReader(out).pages
    assert float(page.mediabox.width) == pytest.approx(612, abs=0.1)  # Letter: 8.5 in
    once = out.read_bytes()
    assert run(content, "overfills", "--has", "feed=automatic", "--out", str(out)) == 0
    assert out.read_bytes() == once
    assert run(content, "overfills", "--has", "feed=automatic", "--paper", "a4", "--back", "--out", str(out)) == 0
    assert [round(float(page.mediabox.width)) for page in PdfReader(out).pages] == [595, 595]


def test_the_file_says_title_and_language(content: str, tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    run(content, "overfills", "--has", "feed=automatic", "--out", str(out))
    reader = PdfReader(out)
    assert reader.metadata is not None
    assert reader.metadata.title == "The overfills: By a feeder"
    root = reader.trailer["/Root"].get_object()
    assert root["/Lang"] == "en"  # type: ignore[index]
    assert root["/MarkInfo"]["/Marked"] is True or root["/MarkInfo"]["/Marked"].value  # type: ignore[index]


def test_all_features_of_a_variant_name_it(content: str, tmp_path: Path) -> None:
    has = ("--has", "feed=manual", "--has", "coil=none")
    assert run(content, "overfills", *has, "--out", str(tmp_path / "x.pdf")) == 0


OWN = "choose one, or add --as-fitted to plan one for just what you gave:"
AS_FITTED = {
    "equipment that no chart is shipped for": (
        ["overfills", "--has", "feed=automatic", "--has", "coil=fitted"],
        "The overfills: Coil: Coil; Feed: By a feeder",
    ),
    "a shipped one": (["overfills", "--has", "feed=manual", "--has", "coil=none"], "The overfills: By hand"),
    "nothing said": (["overfills"], "The overfills: Any system"),
    "a symptom without variants": (["bangs", "--has", "feed=manual"], "The bangs: Feed: By hand"),
}  # fmt: skip


@pytest.mark.parametrize(("arguments", "title"), AS_FITTED.values(), ids=AS_FITTED)
def test_a_sheet_for_just_what_is_fitted(arguments: list[str], title: str, content: str, tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    assert run(content, *arguments, "--as-fitted", "--out", str(out)) == 0
    metadata = PdfReader(out).metadata
    assert metadata is not None
    assert metadata.title == title


WRONG = {
    "no such symptom": (["overfill"], "there is no symptom 'overfill'. Did you mean 'overfills'?"),
    "no such feature": (["overfills", "--has", "fed=manual"], "there is no feature 'fed'. Did you mean 'feed'?"),
    "no such value": (["overfills", "--has", "feed=hand"], "there is no value of 'feed' 'hand'."),
    "not NAME=VALUE": (["overfills", "--has", "feed"], "--has expects NAME=VALUE, found 'feed'"),
    "an emergency": (["gas"], "'gas' is an emergency: make safe and hand on; it has no chart"),
    "no variants": (["bangs"], "'bangs' has no variants, so no chart is made for it"),
    "several": (
        ["overfills", "--has", "feed=manual"],
        f"several charts agree with that; {OWN}\n  by hand: --has coil=none\n  by hand, coil: --has coil=fitted",
    ),
    "none": (
        ["overfills", "--has", "feed=automatic", "--has", "coil=fitted"],
        f"no chart is made for that equipment; {OWN}\n  by a feeder: --has feed=automatic --has coil=none\n"
        "  by hand: --has feed=manual --has coil=none\n  by hand, coil: --has feed=manual --has coil=fitted",
    ),
}


@pytest.mark.parametrize(("arguments", "said"), WRONG.values(), ids=WRONG)
def test_what_is_wrong_is_said_in_words(
    arguments: list[str], said: str, content: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "sheet.pdf"
    assert run(content, *arguments, "--out", str(out)) == 1
    assert capsys.readouterr().err.strip().startswith(f"faultleaf: {said}")
    assert not out.exists()


def test_a_file_that_cannot_be_written_is_said(
    content: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = str(tmp_path / "nowhere" / "sheet.pdf")
    assert run(content, "overfills", "--has", "feed=automatic", "--out", out) == 1
    assert capsys.readouterr().err == f"faultleaf: '{out}' cannot be written: No such file or directory\n"


@pytest.mark.parametrize("arguments", [["overfills"], ["overfills", "--out", "x", "--paper", "a5"]])
def test_wrong_usage_is_two(arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["sheet", *arguments])
    assert left.value.code == 2
