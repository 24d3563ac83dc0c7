"""Line breaks against a slow reference, and by hand with a font in which every letter is half an em wide."""

from __future__ import annotations

import random
from itertools import combinations, pairwise

import pytest
from faultleaf.layout import Face, clean_text
from faultleaf.layout.metrics import Ruler
from faultleaf.layout.wrap import Cutter, break_lines, wrap
from faultleaf.pipeline.fonts import load_metrics

from tests.layout.charts import WORDS


class Even(Face):
    """Every letter is half an em wide."""

    def width_em(self, text: str) -> float:
        return len(text) / 2


EVEN = Ruler(Even({}, 1000, 500, 700, 900, -300))


def test_lines_take_as_many_words_as_fit() -> None:
    found = wrap("one two three four", EVEN, 4.0)  # eight letters a line
    assert found.lines == ("one two", "three", "four")
    assert found.widths == (3.5, 2.5, 2.0)
    assert found.cut_words == 0


def test_a_newline_breaks() -> None:
    assert wrap("one two\nthree", EVEN, 4.0).lines == ("one two", "three")


def broken(text: str, width: float, indent: float = 0.0, tail: float = 0.0) -> list[str]:
    lines, _ = break_lines([EVEN.words(text)], Cutter(EVEN, EVEN), width, indent, tail)
    return [" ".join(word.text for word in line) for line in lines[0]]


def test_the_first_line_is_shorter_by_its_indent() -> None:
    assert broken("one two three", 4.0, indent=1.0) == ["one", "two", "three"]
    assert broken("one two three", 4.0, indent=0.5) == ["one two", "three"]


def test_a_first_word_that_does_not_fit_beside_the_indent_goes_to_the_next_line_whole() -> None:
    assert broken("three two", 3.0, indent=2.0) == ["", "three", "two"]


def test_the_last_line_leaves_room_for_the_tail_or_an_empty_one_follows() -> None:
    assert broken("one two", 5.0, tail=1.5) == ["one two"]
    assert broken("one two", 5.0, tail=2.0) == ["one two", ""]


def test_a_word_that_fits_no_line_is_cut_with_hyphens_and_counted() -> None:
    found = wrap("a boilerhouse b", EVEN, 3.0)
    assert found.lines == ("a", "boile-", "rhous-", "e b")
    assert found.cut_words == 1


def test_nothing_gives_no_lines() -> None:
    assert wrap("  \n ", EVEN, 3.0).lines == ()
    assert wrap("", EVEN, 3.0).widths == ()


def fewest_lines(words: list[str], width: float, ruler: Ruler) -> int:
    """The least number of lines over every way to break between words (slow)."""
    for breaks in range(len(words)):
        for cuts in combinations(range(1, len(words)), breaks):
            edges = (0, *cuts, len(words))
            lines = [" ".join(words[a:b]) for a, b in pairwise(edges)]
            if all(ruler.width_em(line) <= width + 1e-9 for line in lines):
                return len(lines)
    raise AssertionError("a word is wider than the line")


@pytest.mark.parametrize("seed", range(30))
def test_no_other_breaks_need_fewer_lines(seed: int) -> None:
    rng = random.Random(seed)
    ruler = Ruler(load_metrics().bold)
    words = [rng.choice(WORDS) for _ in range(rng.randint(1, 10))]
    width = max(ruler.width_em(word) for word in words) * rng.uniform(1.0, 2.5)
    found = wrap(" ".join(words), ruler, width)
    assert " ".join(found.lines) == " ".join(words)
    assert max(ruler.width_em(line) for line in found.lines) <= width + 1e-9
    assert len(found.lines) == fewest_lines(words, width, ruler)


def test_text_is_composed_and_freed_of_control_characters() -> None:
    assert clean_text(" a\t\nb\u0000 e\u0301\u200b ") == "a b \u00e9"
