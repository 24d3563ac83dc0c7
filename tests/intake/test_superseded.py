"""A card of one's own in the place of a library's: all of the old one is gone, and nothing happens by mistake."""

from pathlib import Path

import pytest
from faultleaf.intake import Layer
from faultleaf.pipeline.check import check_content

from tests.library import Entries, write_library

BASE: Entries = {
    "tests/hold": {
        "title": "Hold",
        "takes": "5 min",
        "body": "## Steps\n\n1. See [the part](../components/part.md).\n",
    },
    "faults/valve": {"shows": {"hold": "seen"}},
}


def without_part(root: Path) -> None:
    (root / "components/part.md").unlink(missing_ok=True)  # `write_library` adds it to every folder


@pytest.mark.parametrize("said", ["yes", "true"])
def test_a_card_of_ones_own_takes_the_place_of_a_librarys(said: str, tmp_path: Path) -> None:
    own = {"tests/hold": {"title": "Our hold", "takes": "9 min", "supersedes": said}}
    base = write_library(tmp_path / "base", BASE)
    mine = write_library(tmp_path / "own", own)
    without_part(mine)
    checked = check_content([Layer(base, "base"), Layer(mine, "own")])
    assert [str(mistake) for mistake in checked.mistakes] == []
    assert checked.library is not None
    test = checked.library.tests["hold"]
    assert (test.title, test.takes, test.body.sections) == ("Our hold", 9.0, ())
    assert checked.library.origins[("test", "hold")].path == "own/tests/hold.md"


def test_without_the_line_the_id_is_taken(tmp_path: Path) -> None:
    base, mine = write_library(tmp_path / "base", BASE), write_library(tmp_path / "own", {"tests/hold": {}})
    without_part(mine)
    (mistake,) = check_content([Layer(base, "base"), Layer(mine, "own")]).mistakes
    assert str(mistake) == (
        "own/tests/hold.md:1: the id 'hold' is taken by base/tests/hold.md. "
        "Rename it, or write 'supersedes: yes' in it. [duplicate-id]"
    )


def test_the_old_cards_own_links_are_gone_with_it(tmp_path: Path) -> None:
    broken = {**BASE, "tests/hold": {"body": "## Steps\n\n1. See [nothing](../components/none.md).\n"}}
    base, mine = (
        write_library(tmp_path / "base", broken),
        write_library(tmp_path / "own", {"tests/hold": {"supersedes": "yes"}}),
    )
    without_part(mine)
    assert check_content([Layer(base, "base")]).mistakes
    assert check_content([Layer(base, "base"), Layer(mine, "own")]).mistakes == ()


def test_nothing_to_supersede_and_two_in_one_folder(tmp_path: Path) -> None:
    root = write_library(tmp_path / "own", {"tests/hold": {"supersedes": "yes"}})
    (mistake,) = check_content([Layer(root, "own")]).mistakes
    assert str(mistake) == "own/tests/hold.md:9: supersedes: no library has a test 'hold'. [nothing-superseded]"
    write_library(tmp_path / "two", {"tests/hold": {}, "tests/deep/hold": {"supersedes": "yes"}})
    codes = [mistake.code for mistake in check_content([Layer(tmp_path / "two", "two")]).mistakes]
    assert "duplicate-id" in codes
