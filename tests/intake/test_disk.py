"""intake/disk.py and pictures.py: folders that strangers send in. Nothing hangs, nothing leads out, all is said."""

import os
import socket
from pathlib import Path

import pytest
from faultleaf.cli import main
from faultleaf.intake import fingerprint
from faultleaf.intake.disk import LARGEST_PICTURE, Layer
from faultleaf.pipeline.check import check_content
from faultleaf.pipeline.sheets import mark_of

from tests.intake.cases import lay_out
from tests.library import Entries, make_library, write_library

DRAWN = "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink'>{}</svg>"


@pytest.fixture
def layers(tmp_path: Path) -> list[Layer]:
    return list(lay_out(tmp_path / "site", {}))


def said(layers: list[Layer]) -> list[str]:
    """The mistakes; the fingerprint must also be had, twice the same."""
    assert fingerprint(layers) == fingerprint(layers)
    return [str(mistake) for mistake in check_content(layers).mistakes]


def test_a_pipe_and_a_socket_are_named_and_not_waited_for(layers: list[Layer]) -> None:
    os.mkfifo(layers[0].root / "terms/x.md")
    os.mkfifo(layers[0].root / "stray.bin")
    with socket.socket(socket.AF_UNIX) as own:
        here = os.open(layers[0].root, os.O_RDONLY)
        own.bind(f"/proc/self/fd/{here}/s.md")
        os.close(here)
    assert said(layers) == [
        "content/s.md:1: this is no file but a socket. Take it away. [unreadable]",
        "content/stray.bin:1: this is no file but a pipe. Take it away. [unreadable]",
        "content/terms/x.md:1: this is no file but a pipe. Take it away. [unreadable]",
    ]


@pytest.mark.parametrize("name", ["terms/x.md", "site.yml", "pictures/x.svg"])
def test_a_file_of_three_gigabytes_is_not_read(name: str, layers: list[Layer], monkeypatch: pytest.MonkeyPatch) -> None:
    read_bytes = Path.read_bytes

    def read_small(path: Path) -> bytes:
        assert path.stat().st_size < 1 << 20
        return read_bytes(path)

    monkeypatch.setattr(Path, "read_bytes", read_small)
    with (layers[0].root / name).open("ab") as file:
        file.truncate(3 << 30)  # takes no room on the disk
    (mistake,) = said(layers)
    assert mistake.startswith(f"content/{name}:1: the file has 3,221,225,472 bytes, more than ")
    assert mistake.endswith("[file-too-large]")


@pytest.mark.parametrize("name", ["terms/x.md", "site.yml", "page.md", "terms/x.txt"])
def test_links_that_lead_nowhere_round_or_out(name: str, layers: list[Layer], tmp_path: Path) -> None:
    (tmp_path / "secret").write_text("---\ntitle: Secret\n---\n", encoding="utf-8")
    path = layers[0].root / name
    path.unlink(missing_ok=True)
    for target, message in (
        ("nowhere", "the link leads nowhere. [unreadable]"),
        (path.name, "the link leads nowhere. [unreadable]"),
        (tmp_path / "secret", "the file lies outside the content folder. Put the file itself there. [path-outside]"),
        (tmp_path, "the file lies outside the content folder. Put the file itself there. [path-outside]"),
        ("/etc/passwd", "the file lies outside the content folder. Put the file itself there. [path-outside]"),
        ("/dev/zero", "the file lies outside the content folder. Put the file itself there. [path-outside]"),
    ):
        path.symlink_to(target)
        assert said(layers) == [f"content/{name}:1: {message}"]
        path.unlink()


def test_links_to_folders_are_not_followed(layers: list[Layer]) -> None:
    (layers[0].root / "faults/again").symlink_to("..")
    (layers[0].root / "more").symlink_to("terms")
    assert said(layers) == [
        "content/faults/again:1: a link to a folder is not followed. Put the folder itself there. [unreadable]",
        "content/more:1: a link to a folder is not followed. Put the folder itself there. [unreadable]",
    ]


def test_a_link_to_a_file_within_is_that_file(layers: list[Layer]) -> None:
    (layers[0].root / "terms/copy.md").symlink_to(layers[0].root / "terms/water-line.md")
    assert said(layers) == []


def test_hundreds_of_folders_in_one_another(layers: list[Layer]) -> None:
    here = os.open(layers[0].root / "terms", os.O_RDONLY)
    for _ in range(300):
        os.mkdir("deep", dir_fd=here)
        below = os.open("deep", os.O_RDONLY, dir_fd=here)
        os.close(here)
        here = below
    os.close(here)
    (mistake,) = said(layers)
    assert mistake.startswith("content/terms/deep/")
    assert mistake.endswith(":1: folders are nested more than 12 deep. Move its files up. [too-deep]")


@pytest.mark.parametrize("name", ["", "faults"])
def test_folders_that_may_not_be_listed(name: str, layers: list[Layer], monkeypatch: pytest.MonkeyPatch) -> None:
    scandir, hidden = os.scandir, layers[0].root / name

    def refuse(path: Path) -> object:
        if Path(path) == hidden:
            raise PermissionError(13, "Permission denied")
        return scandir(path)

    monkeypatch.setattr(os, "scandir", refuse)
    wanted = f"content/{name or '.'}:1: the folder cannot be read: Permission denied. [unreadable]"
    assert wanted in said(layers)


def test_a_stray_file_that_nobody_may_read(layers: list[Layer], monkeypatch: pytest.MonkeyPatch) -> None:
    (layers[0].root / "notes.txt").write_text("x", encoding="utf-8")
    monkeypatch.setattr(os, "access", lambda path, _: Path(path).name != "notes.txt")  # root may read everything
    assert said(layers) == ["content/notes.txt:1: cannot be read: Permission denied. [unreadable]"]


@pytest.mark.parametrize("name", ["site.yml", "equipment.yml", "faults/x.md"])
def test_a_folder_where_a_file_belongs(name: str, layers: list[Layer]) -> None:
    path = layers[0].root / name
    path.unlink(missing_ok=True)
    path.mkdir()
    message = f"content/{name}:1: this is a folder, and a file is expected. Rename it. [unknown-folder]"
    assert message in said(layers)


ACTIVE = {
    "<script>x()</script>": "<script>",
    "<g onload='x()'/>": "the handler onload",
    "<a href='javascript:x()'/>": "a link to 'javascript:x()'",
    "<image xlink:href='https://example.org/x.png'/>": "a link to 'https://example.org/x.png'",
    "<use xlink:href='other.svg#a'/>": "a link to 'other.svg#a'",
    "<foreignObject/>": "<foreignobject>",
    "<set attributeName='href' to='javascript:x()'/>": "<set>",
    "<g>": "what is no drawing",
    "\x00": "what is no drawing",
}


@pytest.mark.parametrize(("inside", "what"), ACTIVE.items())
@pytest.mark.parametrize("name", ["pictures/glass.svg", "elsewhere/stray.svg"])
def test_a_drawing_that_does_something_is_refused(name: str, inside: str, what: str, layers: list[Layer]) -> None:
    path = layers[0].root / name
    path.parent.mkdir(exist_ok=True)
    path.write_text(DRAWN.format(inside), encoding="utf-8")
    hint = "Save it as a plain drawing, without scripts, links or pictures from elsewhere."
    assert said(layers) == [f"content/{name}:1: the drawing holds {what}. {hint} [active-drawing]"]


def test_a_drawing_that_grows_is_refused_before_it_is_read(layers: list[Layer]) -> None:
    bomb = "<!DOCTYPE x [<!ENTITY a 'aaaaaaaaaa'><!ENTITY b '&a;&a;&a;&a;'>]><svg>&b;</svg>"
    (layers[0].root / "pictures/glass.svg").write_text(bomb, encoding="utf-8")
    (mistake,) = said(layers)
    assert "the drawing holds a declaration" in mistake


def test_a_plain_drawing_is_taken(layers: list[Layer]) -> None:
    inside = "<defs><g id='a'/></defs><use xlink:href='#a'/><image href='data:image/png;base64,AAAA'/><text>on</text>"
    (layers[0].root / "pictures/glass.svg").write_text(DRAWN.format(inside), encoding="utf-8")
    assert said(layers) == []


MARKED: Entries = {
    "site": {"mark": "ours"},
    "pictures/deep/ours": {"file": "m.svg"},
    "pictures/deep/m.svg": DRAWN.format("<g/>"),
}


def test_the_mark_is_found_beside_its_card(tmp_path: Path) -> None:
    library = make_library(tmp_path / "a", MARKED)
    mark = mark_of(library, [Layer(tmp_path / "a", "content")])
    assert mark is not None
    assert mark.content == DRAWN.format("<g/>").encode()


def test_a_picture_that_is_too_large_is_said(tmp_path: Path) -> None:
    root = write_library(tmp_path / "content", {**MARKED, "pictures/deep/ours": {"file": "m.png"}})
    with (root / "pictures/deep/m.png").open("wb") as file:
        file.truncate(LARGEST_PICTURE + 1)
    (mistake,) = said([Layer(root, "content")])
    assert mistake.startswith("content/pictures/deep/ours.md:3: file: 'm.png' has 10,485,761 bytes, more than ")


LONG = "x" * 240
OUT: dict[str, tuple[Entries, str]] = {
    "a variant": ({"symptoms/s": {"variants": {LONG: {}}}}, "the name makes an address of 240 letters, more than 100."),
    "an id": ({f"symptoms/{LONG}": {}}, "an id of at most 100 letters is expected, this has 240."),
    "a rate": ({"faults/f": {"how_common": "1e308"}}, "how common a fault is lies between 1e-06 and 1e+06."),
    "a tiny rate": ({"faults/f": {"how_common": "1e-300"}}, "how common a fault is lies between 1e-06 and 1e+06."),
    "handing on": ({"site": {"hand_on": "52700000 min"}}, "'52700000 min' is more work than a call can hold, 1,000 h."),
    "digits": ({"tests/t": {"takes": "1" * 200_000}}, "is not a duration."),
}  # fmt: skip


@pytest.mark.parametrize(("entries", "message"), OUT.values(), ids=OUT)
def test_values_that_break_what_comes_after_are_refused(entries: Entries, message: str, tmp_path: Path) -> None:
    (mistake,) = said([Layer(write_library(tmp_path, entries), "content")])  # the digits took 19 minutes
    assert message in mistake


def test_what_a_terminal_would_obey_reaches_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    card = '---\ntitle: "x"\ncomponent: "a\\e]0;owned\\a"\n"\\e[2J": 1\nhow_common: "\\u202e\\x9b31m"\n---\n'
    root = write_library(tmp_path / "content", {"faults/f.md": card, "faults/\x1b[31mx.md": card})
    assert main(["check", str(root)]) == 1
    shown = capsys.readouterr().out
    assert [char for char in shown if not char.isprintable() and char != "\n"] == []
    assert "\\x1b" in shown
    assert main(["rank", "\x1b[2J", "--content", str(root)]) == 1
    assert "\x1b" not in capsys.readouterr().err
