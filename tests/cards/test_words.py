"""cards/words.py: durations, never in a machine's notation."""

import random

import pytest
from faultleaf.cards.words import minutes_text

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
