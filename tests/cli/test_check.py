"""cli/check.py: what is wrong and what is weak, in words and as JSON, with the exit code."""

import io
import json
import subprocess
import sys
from pathlib import Path

import pytest
from faultleaf.cli import main

from tests.cli.calls import CONTENT
from tests.library import Entries, write_library

SOUND: Entries = {
    "symptoms/overfills": {"reviewed": "2024-01-31", "first": [{"test": "hold", "because": "it is quick"}]},
    "faults/valve": {"symptoms": {"overfills": "often"}},
    "tests/hold": {"body": "## Steps\n\n1. Look.\n"},
}
FIELDS = ["path", "line", "field", "message", "hint", "code", "severity"]


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    return write_library(tmp_path / "content", SOUND)


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    wrong = {"symptoms": {"overfils": "often"}, "how_common": "comon", "shows": {"hold": {"sen": "ofen"}}}
    return write_library(tmp_path / "broken", {**SOUND, "faults/valve": wrong})


def test_shipped_content_has_no_mistake(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(CONTENT.parent)
    for arguments in (["check", "content", "--json"], ["check", "--json"]):
        assert main(arguments) == 0
        answer = json.loads(capsys.readouterr().out)
        assert answer["mistakes"] == []
        assert all(warning["severity"] == "warning" for warning in answer["warnings"])
        assert all(warning["path"].startswith("content/") for warning in answer["warnings"])


def test_mistakes_in_words(broken: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(broken)]) == 1
    said = capsys.readouterr()
    assert said.err == ""
    lines = said.out.splitlines()
    assert lines[:-1] == [
        f"{broken}/faults/valve.md:4: how_common: 'comon' is neither a number nor a word for how common a fault is. "
        "Did you mean 'common'? [unknown-word]",
        f"{broken}/faults/valve.md:7: symptoms.overfils: there is no symptom 'overfils'. "
        "Did you mean 'overfills'? [unknown-symptom]",
        f"{broken}/faults/valve.md:10: shows.hold.sen: 'ofen' is neither a number nor a word for a probability. "
        "Did you mean 'often'? [unknown-word]",
    ]
    assert lines[-1] == "3 mistakes, 0 warnings."


def test_mistakes_as_json_say_the_same(broken: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", str(broken)])
    words = capsys.readouterr().out.splitlines()[:-1]
    assert main(["check", str(broken), "--json"]) == 1
    answer = json.loads(capsys.readouterr().out)
    assert list(answer) == ["mistakes", "warnings"]
    assert answer["warnings"] == []
    assert [list(mistake) for mistake in answer["mistakes"]] == [FIELDS] * 3
    for mistake, line in zip(answer["mistakes"], words, strict=True):
        assert line == "{path}:{line}: {field}: {message}. {hint} [{code}]".format(**mistake)
        assert mistake["severity"] == "mistake"


def test_warnings_do_not_fail(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(sound)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[-1] == f"0 mistakes, {len(lines) - 1} warnings."
    few = "this symptom has one candidate. Write the faults that show as it. [few-candidates]"
    assert f"{sound}/symptoms/overfills.md:2: warning: {few}" in lines
    assert all(": warning: " in line and line.endswith("]") for line in lines[:-1])
    assert not any("review" in line for line in lines)


def test_overdue_reviews_only_on_a_day(sound: Path, capsys: pytest.CaptureFixture[str]) -> None:
    overdue = {}
    for day in ("2026-01-30", "2026-01-31", "2026-02-01"):  # two years of 365 days after 2024-01-31, a leap year
        assert main(["check", str(sound), "--json", "--as-of", day]) == 0
        warnings = json.loads(capsys.readouterr().out)["warnings"]
        overdue[day] = [each["path"] for each in warnings if each["code"] == "review-overdue"]
    assert overdue["2026-02-01"] == [f"{sound}/symptoms/overfills.md"]
    assert overdue["2026-01-30"] == []


@pytest.mark.parametrize("day", ["tomorrow", "2026-02-30", "2026-1-1", ""])
def test_a_day_that_is_none(day: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["check", "--as-of", day])
    assert stop.value.code == 2
    assert f"argument --as-of: expected a date like 2026-11-25, found '{day}'\n" in capsys.readouterr().err


def test_folder_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(tmp_path / "none"), "--json"]) == 1
    mistakes = json.loads(capsys.readouterr().out)["mistakes"]
    assert [(each["code"], each["line"]) for each in mistakes] == [("no-folder", 1)]


def test_layers_are_read_as_one_library(sound: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    more = write_library(tmp_path / "more", {"tests/look": {}})
    (more / "faults").mkdir()
    card = (sound / "faults/valve.md").read_text(encoding="utf-8").replace("The valve", "The bypass")
    (more / "faults/bypass.md").write_text(card, encoding="utf-8")
    assert main(["check", str(sound), str(more)]) == 0
    assert "one candidate" not in capsys.readouterr().out
    assert main(["check", str(more)]) == 1
    assert "there is no symptom 'overfills'" in capsys.readouterr().out


def test_terminal_that_cannot_show_a_letter_gets_an_escape(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = write_library(tmp_path / "content", {**SOUND, "faults/ventil-ä.md": "no card"})
    shown = io.BytesIO()
    terminal = io.TextIOWrapper(shown, encoding="ascii")
    monkeypatch.setattr(sys, "stdout", terminal)
    assert main(["check", str(root)]) == 1
    terminal.flush()
    assert b"faults/ventil-\\xe4.md:1: " in shown.getvalue()


def test_a_reader_who_stops_reading_gets_no_traceback() -> None:
    call = "import sys; from faultleaf.cli import main; sys.exit(main())"
    command = f"{sys.executable} -c '{call}' check content --json | head -n 1"
    finished = subprocess.run(
        ["bash", "-c", command], capture_output=True, text=True, check=False, cwd=Path(__file__).parents[2]
    )
    assert finished.stdout == "{\n"
    assert finished.stderr == ""
