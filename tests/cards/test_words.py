"""cards/words.py: durations, never in a machine's notation."""

import random

import pytest
from faultleaf.cards.words import ends_text, hundredths, minutes_text

MINUTES = {
    0: "0 min", 0.4: "0 min", 1: "1 min", 29.6: "30 min", 59: "59 min", 59.7: "1 h", 60: "1 h", 61: "1 h 1 min",
    240: "4 h", 1439: "23 h 59 min", 1440: "1 day", 1469: "1 day", 1471: "1 day 1 h", 1500: "1 day 1 h",
    2879: "2 days", 2880: "2 days", 10080: "7 days", 525600: "365 days",
}  # fmt: skip


@pytest.mark.parametrize(("minutes", "words"), MINUTES.items())
def test_durations(minutes: float, words: str) -> None:
    assert minutes_text(minutes) == words


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
