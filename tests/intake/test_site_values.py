"""What site.yml may say of printed sheets, and what is wrong with it."""

from pathlib import Path

import pytest
from faultleaf.intake import Layer, read_library

from tests.library import Entries, write_library

WRONG: dict[str, tuple[Entries, str]] = {
    "an address of another kind": (
        {"site": {"address": "javascript:alert(1)"}},
        "content/site.yml:1: address: 'javascript:alert(1)' is not a web address. Begin with https://. [link-scheme]",
    ),
    "an address with a blank": (
        {"site": {"address": "https://a b"}},
        "content/site.yml:1: address: 'https://a b' cannot be read as a web address. [bad-link]",
    ),
    "a mark that no picture is": (
        {"site": {"mark": "glas"}, "pictures/glass": {}, "pictures/glass.svg": "<svg/>"},
        "content/site.yml:1: mark: there is no picture 'glas'. Did you mean 'glass'? [unknown-picture]",
    ),
}


@pytest.mark.parametrize(("entries", "said"), WRONG.values(), ids=WRONG)
def test_mistake_with_its_line(entries: Entries, said: str, tmp_path: Path) -> None:
    intake = read_library([Layer(write_library(tmp_path, entries), "content")])
    assert [str(mistake) for mistake in intake.mistakes] == [said]


def test_a_mark_of_the_base_is_there_for_the_site_above_it(tmp_path: Path) -> None:
    base = write_library(tmp_path / "base", {"pictures/glass": {}, "pictures/glass.svg": "<svg/>"})
    own = write_library(tmp_path / "own", {"site": {"mark": "glass"}})
    intake = read_library([Layer(base, "base"), Layer(own, "own")])
    assert intake.mistakes == ()
    assert intake.library is not None
    assert intake.library.site.mark == "glass"
