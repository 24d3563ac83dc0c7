"""words/numbers.py: the shared cases, and laws of how numbers read: never in a machine's notation."""

import json
import math
import random
from pathlib import Path
from typing import Any

import pytest
from faultleaf.cards.vocabulary import PROBABILITY_WORDS, RATE_WORDS
from faultleaf.words import (
    common_dots,
    common_text,
    ends_text,
    hundredths,
    limits_text,
    minutes_text,
    often_dots,
    often_text,
    share_dots,
    share_text,
)
from faultleaf.worksheets import measured_text, number_text
from faultleaf.worksheets.shown import plain_text

CASES: dict[str, Any] = json.loads((Path(__file__).parents[1] / "cases/words.json").read_text(encoding="utf-8"))
"""What tests/browser/words asks the browser too."""
SAID = {
    "minutes": minutes_text, "shares": share_text, "plain": plain_text,
    "numbers": number_text, "measured": measured_text,
}  # fmt: skip


@pytest.mark.parametrize("kind", SAID)
def test_shared_cases(kind: str) -> None:
    assert len(CASES[kind]) > 3
    for *given, words in CASES[kind]:
        assert SAID[kind](*given) == words, given  # type: ignore[operator]


def test_shared_cases_of_limits() -> None:
    for ends, unit, told in CASES["limits"]:
        limits = {
            name: (-math.inf if low is None else low, math.inf if high is None else high)
            for name, (low, high) in ends.items()
        }
        assert {name: limits_text(limits, name, unit) for name in limits} == told


def test_every_word_of_the_vocabulary_is_said() -> None:
    for word, value in PROBABILITY_WORDS.items():
        assert often_text(value) == word.replace("-", " ")
    for word, rate in RATE_WORDS.items():
        assert common_text(rate) == word.replace("-", " ")
    assert sorted(common_dots(rate) for rate in RATE_WORDS.values()) == [1, 2, 3, 4, 5]


def test_more_often_is_never_said_with_fewer_dots() -> None:
    chances = [step / 1000 for step in range(1001)]
    for dots in (often_dots, share_dots):
        counts = [dots(chance) for chance in chances]
        assert counts == sorted(counts)
        assert counts[-1] == 5
    assert often_dots(0.0) == 0


def test_no_number_is_shown_with_an_exponent() -> None:
    chance = random.Random(11)
    for _ in range(2000):
        value = 10 ** chance.uniform(-4, 8)
        for words in (plain_text(value), plain_text(-value), number_text(value)):
            assert "e" not in words


def test_a_duration_takes_at_most_two_units_and_is_near() -> None:
    units = {"min": 1, "h": 60, "day": 1440, "days": 1440}
    for minutes in range(0, 20000, 7):
        words = minutes_text(minutes).split()
        assert len(words) in (2, 4)
        said = sum(int(count) * units[unit] for count, unit in zip(words[::2], words[1::2], strict=True))
        assert abs(said - minutes) <= (30 if minutes >= 1440 else 0)


def test_no_duration_is_shown_with_an_exponent() -> None:
    chance = random.Random(11)
    for _ in range(2000):
        assert "e" not in minutes_text(chance.uniform(0, 1e7)).replace("min", "")


ENDS = {
    (1.0, 0.0, 0.0, 0.0, 62.0): "Of 100 such calls about 100 end cured; the cured ones take about 1 h of work.",
    (0.555, 0.111, 0.304, 0.03, 100.0): "Of 100 such calls about 56 end cured, 11 with the cause named, 30 handed on, "
    "3 stopped for safety; the cured ones take about 1 h 40 min of work.",
    (0.9, 0.0, 0.098, 0.002, 0.0): "Of 100 such calls about 90 end cured, 10 handed on, under 1 stopped for safety.",
    (0.0, 0.4, 0.6, 0.0, 0.0): "Of 100 such calls about 40 end with the cause named, 60 handed on.",
}  # fmt: skip


@pytest.mark.parametrize(("ends", "words"), ENDS.items())
def test_ends_of_calls(ends: tuple[float, float, float, float, float], words: str) -> None:
    assert ends_text(*ends) == words


def test_whole_percents_add_up_and_are_near() -> None:
    chance = random.Random(11)
    for _ in range(2000):
        parts = [chance.random() ** 3 for _ in range(chance.randint(1, 5))]
        shares = [part / sum(parts) for part in parts]
        counts = hundredths(shares)
        assert sum(counts) == 100
        assert all(abs(count - 100 * share) < 1 for count, share in zip(counts, shares, strict=True))
