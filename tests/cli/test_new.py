"""cli/new.py: a card to fill in, of every kind; never over another file."""

from pathlib import Path

import pytest
from faultleaf.cards import CARD_TYPES, Card
from faultleaf.cli import main
from faultleaf.cli.skeletons import skeleton
from faultleaf.intake import Layer
from faultleaf.pipeline.check import Checked, check_content

from tests.library import Entries, write_library

KINDS = [card_type.kind for card_type in CARD_TYPES]
AROUND: Entries = {
    "symptoms/symptom-id": {},
    "components/component-id": {},
    "proofs/proof-id": {},
    "tests/test-id": {"outcomes": {"outcome": "Seen", "other": "Not seen"}},
    "pictures/FILE.svg": "<svg xmlns='http://www.w3.org/2000/svg'/>",
}
"""What a filled-in skeleton names."""

FILLED = {
    "COMPONENT-ID": "component-id", "SYMPTOM-ID": "symptom-id", "TEST-ID": "test-id", "OUTCOME": "outcome",
    "PROOF-ID": "proof-id", "folder/card-id": "components/component-id",
}  # fmt: skip


def folder_of(kind: str) -> str:
    return next(card_type.folder for card_type in CARD_TYPES if card_type.kind == kind)


def check(root: Path) -> Checked:
    return check_content([Layer(root, "content")])


def fill_in(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for blank, filled in FILLED.items():
        text = text.replace(blank, filled)
    path.write_text(text, encoding="utf-8")


@pytest.mark.parametrize("kind", KINDS)
def test_skeleton_is_a_card_once_its_ids_are_filled_in(
    kind: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    root = write_library(tmp_path / "content", AROUND)
    assert main(["new", kind, "A new card", "--content", str(root)]) == 0
    path = root / folder_of(kind) / "a-new-card.md"
    assert capsys.readouterr().out == f"Wrote {path}. Fill it in, then run 'faultleaf check'.\n"
    fill_in(path)
    checked = check(root)
    assert [str(mistake) for mistake in checked.mistakes] == []
    assert checked.library is not None
    card = checked.library.cards[(kind, "a-new-card")]
    assert card.title == "A new card"
    assert [section.title for section in card.body.sections] == list(card.sections)


@pytest.mark.parametrize("kind", KINDS)
def test_untouched_skeleton_lacks_nothing_but_names(kind: str, tmp_path: Path) -> None:
    root = tmp_path / "content"
    assert main(["new", kind, "A new card", "--content", str(root)]) == 0
    codes = {mistake.code for mistake in check(root).mistakes}
    allowed = {"bad-id", "missing-file", "unknown-kind", "unknown-outcome", "unknown-test", "unknown-component"}
    assert codes <= allowed, [str(mistake) for mistake in check(root).mistakes]


def test_never_over_another_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "faults/valve.md"
    path.parent.mkdir()
    path.write_text("mine", encoding="utf-8")
    assert main(["new", "fault", "Valve!", "--content", str(tmp_path)]) == 1
    assert capsys.readouterr().err == f"faultleaf: '{path}' exists already\n"
    assert path.read_text(encoding="utf-8") == "mine"


TITLES = {
    'The "hold" test': "the-hold-test",
    "It's: a [title], {odd} #1 & more": "it-s-a-title-odd-1-more",
    "back\\slash \\n and \\": "back-slash-n-and",
    "Überlauf – ½ in": "berlauf-in",
    "- yes": "yes",
    "off": "off",
    "!!tag &anchor *alias": "tag-anchor-alias",
    "  blanks   inside  ": "blanks-inside",
    "two\nlines": "two-lines",
    "../../etc/passwd": "etc-passwd",
    "24:00": "24-00",
    "«100 %»": "100",
}


@pytest.mark.parametrize(("title", "name"), TITLES.items())
def test_any_title_is_kept_as_it_was_typed(title: str, name: str, tmp_path: Path) -> None:
    assert main(["new", "term", title, "--content", str(tmp_path)]) == 0
    assert sorted(path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*.md")) == [f"terms/{name}.md"]
    library = check(tmp_path).library
    assert library is not None, [str(mistake) for mistake in check(tmp_path).mistakes]
    assert library.terms[name].title == " ".join(title.split())


MISTAKES = {
    "kind": (["fautl", "A"], "there is no kind 'fautl'. Did you mean 'fault'?"),
    "no letter": (["fault", "–!?"], "the title '–!?' has no letter or digit to make an id of"),
    "index": (["fault", "Index"], "the id 'index' is kept for the folder's own page; choose another title"),
    "empty": (["fault", " "], "the title cannot be used: expected a line of text, found nothing"),
    "control": (["fault", "a\x1bb"], "the title cannot be used: the text holds an invisible control character"),
    "too long": (
        ["fault", "x" * 301], "the title cannot be used: a line of at most 300 characters is expected, this has 301",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("arguments", "message"), MISTAKES.values(), ids=MISTAKES)
def test_every_slip_gets_a_sentence(
    arguments: list[str], message: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", *arguments, "--content", str(tmp_path)]) == 1
    assert capsys.readouterr() == ("", f"faultleaf: {message}\n")
    assert list(tmp_path.iterdir()) == []


def test_what_the_system_refuses_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert main(["new", "fault", "A", "--content", str(tmp_path / "file")]) == 1
    path = tmp_path / "file/faults/a.md"
    assert capsys.readouterr().err == f"faultleaf: '{path}' cannot be written: Not a directory\n"
    long = "x" * 290
    assert main(["new", "fault", long, "--content", str(tmp_path)]) == 1
    assert capsys.readouterr().err.endswith("cannot be written: File name too long\n")


@pytest.mark.parametrize("card_type", CARD_TYPES, ids=KINDS)
def test_skeleton_names_every_field_that_the_kind_must_have(card_type: type[Card]) -> None:
    written = {line.partition(":")[0] for line in skeleton(card_type, "T").splitlines()}
    needed = {name for name, field in card_type.model_fields.items() if field.is_required()} - {"id"}
    assert needed <= written
