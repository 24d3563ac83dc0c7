"""Every broken card gives exactly its messages: as written, with a byte-order mark, and with CRLF line ends."""

import argparse
import codecs
import io
import json
import os
import sys
from pathlib import Path

import pytest
from faultleaf.cards import Mistake
from faultleaf.cli.check import add_parser, run
from faultleaf.cli.project import layers_of
from faultleaf.intake import Layer
from faultleaf.intake.front import LARGEST_FILE
from faultleaf.pipeline.check import check_content

from tests.intake.cases import CASES, Change, check_case, lay_out, messages, read_case

VALVE = "content/faults/valve-passing.md"


def with_mark(raw: bytes) -> bytes:
    return codecs.BOM_UTF8 + raw


def with_crlf(raw: bytes) -> bytes:
    return raw.replace(b"\n", b"\r\n")


def with_both(raw: bytes) -> bytes:
    return with_mark(with_crlf(raw))


def with_cr(raw: bytes) -> bytes:
    return raw.replace(b"\n", b"\r")


def test_there_are_enough_broken_cards() -> None:
    assert len(CASES) >= 45


@pytest.mark.parametrize("change", [bytes, with_mark, with_crlf, with_both, with_cr])
def test_the_sound_library_is_sound(change: Change, tmp_path: Path) -> None:
    checked = check_case(tmp_path / "site", {}, change)
    assert messages(checked) == ()
    assert checked.library is not None
    assert len(checked.library.cards) == 16


@pytest.mark.parametrize("change", [bytes, with_mark, with_crlf, with_both])
@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_broken_card_gives_exactly_these_messages(path: Path, change: Change, tmp_path: Path) -> None:
    case = read_case(path)
    assert case.expected
    checked = check_case(tmp_path / "site", case.files, change)
    assert messages(checked) == case.expected
    assert checked.library is None
    assert checked.mistakes == tuple(sorted(checked.mistakes))


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_every_mistake_can_be_found_in_its_file(path: Path, tmp_path: Path) -> None:
    case = read_case(path)
    for mistake in check_case(tmp_path / "site", case.files).mistakes:
        place = tmp_path / "site" / mistake.path
        assert place.exists()
        if place.is_file():
            assert 1 <= mistake.line <= len(place.read_text(encoding="utf-8").split("\n"))
        assert mistake.code
        assert "\n" not in str(mistake)


BYTES: dict[str, tuple[bytes, str]] = {
    "not UTF-8, third line": (
        b"---\ntitle: Valve\ncomponent: f\xe9eder\n---\n",
        f"{VALVE}:3: byte 0xe9 is not valid UTF-8. Save the file as UTF-8. [not-utf8]",
    ),
    "not UTF-8 in the body": (
        b"---\ntitle: Valve\n---\n\n200 \xb0F\n",
        f"{VALVE}:5: byte 0xb0 is not valid UTF-8. Save the file as UTF-8. [not-utf8]",
    ),
    "cut in the middle of a character": (
        b"---\ntitle: Valve\n---\n200 \xc2",
        f"{VALVE}:4: byte 0xc2 is not valid UTF-8. Save the file as UTF-8. [not-utf8]",
    ),
    "five megabytes": (
        b"---\ntitle: Valve\n---\n" + b"x" * 5_000_000,
        f"{VALVE}:1: the file has 5,000,021 bytes, more than 262,144. Cut it into several cards. [file-too-large]",
    ),
    "a zero byte": (
        b"---\ntitle: Val\x00ve\n---\n",
        f"{VALVE}:2: the file holds an invisible control character (U+0000). Type the line again. [control-character]",
    ),
    "a line end that only YAML knows": (
        "---\ntitle: Valve\u2028x\ncomponent: [\n---\n".encode(),
        f"{VALVE}:2: the file holds an invisible control character (U+2028). Type the line again. [control-character]",
    ),
    "brackets without end": (
        b"---\ntitle: Valve\nx: " + b"[" * 100_000 + b"\n---\n",
        f"{VALVE}:3: fields are nested more than 12 deep. [too-deep]",
    ),
    "lists without end": (
        b"---\n" + b"- " * 100_000 + b"x\n---\n",
        f"{VALVE}:2: fields are nested more than 12 deep. [too-deep]",
    ),
}


@pytest.mark.parametrize("change", [bytes, with_crlf])
@pytest.mark.parametrize("name", BYTES)
def test_bytes_that_are_no_card(name: str, change: Change, tmp_path: Path) -> None:
    raw, expected = BYTES[name]
    if name == "five megabytes":
        change = bytes  # its size is part of the message
    assert messages(check_case(tmp_path / "site", {VALVE: raw}, change)) == (expected,)


def test_the_byte_that_is_wrong_is_named_after_a_mark_too(tmp_path: Path) -> None:
    raw, expected = BYTES["not UTF-8, third line"]
    assert messages(check_case(tmp_path / "site", {VALVE: raw}, with_mark)) == (expected,)


def test_a_card_of_the_largest_size_is_read(tmp_path: Path) -> None:
    head = b"---\ntitle: Feeder\n---\n"
    raw = head + b"word " * ((LARGEST_FILE - len(head)) // 5)
    assert messages(check_case(tmp_path / "site", {"content/components/feeder.md": raw})) == ()


def test_text_nested_without_end_is_a_mistake_of_its_card(tmp_path: Path) -> None:
    deep = "\n".join("    " * depth + "- a [link](x.md)" for depth in range(250))
    found = messages(check_case(tmp_path / "site", {"content/components/feeder.md": f"---\ntitle: F\n---\n{deep}\n"}))
    assert (
        "content/components/feeder.md:14: body: the text is nested too deep. "
        "Write fewer lists and quotes inside one another. [too-deep]"
    ) in found


def test_a_linked_card_or_picture_outside_is_not_read(tmp_path: Path) -> None:
    layers = lay_out(tmp_path / "site", {})
    secret = tmp_path / "secret.md"
    secret.write_text("---\ntitle: Secret\n---\n", encoding="utf-8")
    (tmp_path / "site/content/components/secret.md").symlink_to(secret)
    picture = tmp_path / "site/content/pictures/glass.svg"
    picture.unlink()
    picture.symlink_to(secret)
    assert messages(check_content(layers)) == (
        "content/components/secret.md:1: the file lies outside the content folder. "
        "Put the file itself there. [path-outside]",
        "content/pictures/glass.svg:1: the file lies outside the content folder. "
        "Put the file itself there. [path-outside]",
    )


def test_a_folder_named_like_a_card_and_a_file_nobody_may_read(tmp_path: Path) -> None:
    layers = lay_out(tmp_path / "site", {})
    (tmp_path / "site/content/terms/folder.md").mkdir()
    assert messages(check_content(layers)) == (
        "content/terms/folder.md:1: this is a folder, and a file is expected. Rename it. [unknown-folder]",
    )


def test_files_of_editors_are_left_alone(tmp_path: Path) -> None:
    assert messages(check_case(tmp_path / "site", {"content/terms/._water-line.md": b"\x00\x05"})) == ()


def test_a_missing_folder(tmp_path: Path) -> None:
    assert messages(check_content([Layer(tmp_path / "nowhere", "nowhere")])) == (
        "nowhere:1: there is no such folder. Check the folder's name. [no-folder]",
    )


def check(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """The exit code and the output of `faultleaf check`."""
    parser = argparse.ArgumentParser()
    add_parser(parser.add_subparsers())
    code = run(parser.parse_args(["check", *arguments]))
    captured = capsys.readouterr()
    assert captured.err == ""
    return code, captured.out


def broken_folder(root: Path) -> str:
    lay_out(root, {VALVE: "---\ntitle: Valve\ncomponent: feader\nhow_common: 0\n---\n"})
    return str(root / "content")


def test_the_command_prints_every_mistake_and_fails(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = broken_folder(tmp_path)
    code, out = check([folder], capsys)
    assert code == 1
    assert out.splitlines() == [
        f"{folder}/faults/valve-passing.md:3: component: there is no component 'feader'. "
        "Did you mean 'feeder'? [unknown-component]",
        f"{folder}/faults/valve-passing.md:4: how_common: how common a fault is must be above 0, this is 0. "
        "[out-of-range]",
        "2 mistakes, 0 warnings.",
    ]


def test_the_command_answers_in_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = broken_folder(tmp_path)
    code, out = check([folder, "--json"], capsys)
    answer = json.loads(out)
    assert code == 1
    assert set(answer) == {"mistakes", "warnings"}
    assert answer["warnings"] == []
    assert answer["mistakes"][0] == {
        "path": f"{folder}/faults/valve-passing.md", "line": 3, "field": "component",
        "message": "there is no component 'feader'", "hint": "Did you mean 'feeder'?",
        "code": "unknown-component", "severity": "mistake",
    }  # fmt: skip


def test_the_command_is_content_with_sound_cards(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    lay_out(tmp_path, {})
    code, out = check([str(tmp_path / "content"), "--json"], capsys)
    assert code == 0
    assert json.loads(out)["mistakes"] == []
    assert {warning["severity"] for warning in json.loads(out)["warnings"]} == {"warning"}


def test_a_file_name_that_is_no_text_can_be_printed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lay_out(tmp_path, {})
    (tmp_path / "content/terms" / os.fsdecode(b"b\xffd.md")).write_text("---\ntitle: x\n---\n")
    printed = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    monkeypatch.setattr(sys, "stdout", printed)
    assert run(argparse.Namespace(folders=[str(tmp_path / "content")], json=False, as_of=None)) == 1
    printed.seek(0)
    assert "b?d.md:1: the file name is the card's id, and 'b?d' is not an id." in printed.read()


def test_folders_are_shown_as_they_were_typed() -> None:
    assert [layer.shown for layer in layers_of(["content/", "mine"])] == ["content", "mine"]


def test_mistakes_stand_in_the_order_of_files_and_lines() -> None:
    later, first = Mistake("b.md", 1, "", "x"), Mistake("a.md", 10, "", "x")
    assert sorted([later, first, Mistake("a.md", 9, "z", "x")])[0].line == 9
