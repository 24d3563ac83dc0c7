"""pages/words.py: numbers as people read them, table by table, and never in a machine's notation."""

import random

import pytest
from faultleaf.cards.vocabulary import PROBABILITY_WORDS, RANKS, RATE_WORDS
from faultleaf.cards.words import capital, rank_text, share_text
from faultleaf.pages.words import factor_text, rate_text, strength_text

SHARES = {
    0.0: "0 %", 1e-12: "under 1 %", 0.00999: "under 1 %", 0.01: "1 %", 0.0149: "1 %", 0.015: "2 %",
    0.095: "10 %", 0.0999: "10 %", 0.2345: "23 %", 0.285: "29 %", 0.5: "50 %", 0.985: "99 %", 0.9949: "99 %",
    0.996: "over 99 %", 1 - 1e-12: "100 %", 1.0: "100 %",
}  # fmt: skip
STRENGTHS = {
    0.0: "0", 0.001: "never (.001)", 0.02: "hardly ever (.02)", 0.1: "seldom (.1)", 0.3: "sometimes (.3)",
    0.4: ".4", 0.5: "half (.5)", 0.7: "often (.7)", 0.85: "usually (.85)", 0.95: "nearly always (.95)",
    0.99: "always (.99)", 1.0: "1",
}  # fmt: skip
RATES = {
    8: "very common (8)", 4: "common (4)", 2: "occasional (2)", 1: "uncommon (1)", 0.4: "rare (0.4)",
    3.5: "3.5", 12: "12",
}  # fmt: skip
FACTORS = {
    1.5: "×1.5 likelier", 3.21: "×3.2 likelier", 20: "×20 likelier", 99.4: "×99 likelier", 99.6: "over ×99 likelier",
    100: "over ×99 likelier", 0.5: "×2 less likely", 0.25: "×4 less likely", 0.011: "×91 less likely",
    0.01: "over ×99 less likely", 0.0: "over ×99 less likely",
}  # fmt: skip


@pytest.mark.parametrize(("share", "words"), SHARES.items())
def test_shares(share: float, words: str) -> None:
    assert share_text(share) == words


@pytest.mark.parametrize(("value", "words"), STRENGTHS.items())
def test_strengths(value: float, words: str) -> None:
    assert strength_text(value) == words


@pytest.mark.parametrize(("value", "words"), RATES.items())
def test_rates(value: float, words: str) -> None:
    assert rate_text(value) == words


@pytest.mark.parametrize(("factor", "words"), FACTORS.items())
def test_factors(factor: float, words: str) -> None:
    assert factor_text(factor) == words


def test_every_word_of_the_vocabulary_is_said() -> None:
    for word, value in PROBABILITY_WORDS.items():
        assert strength_text(value).startswith(word.replace("-", " ") + " (")
    for word, value in RATE_WORDS.items():
        assert rate_text(value).startswith(word.replace("-", " ") + " (")


def test_every_rank_has_words_of_its_own() -> None:
    words = [rank_text(rank) for rank in RANKS]
    assert len(set(words)) == len(RANKS) == 4
    assert words[0] == "Owner: look only"


def test_no_number_is_shown_with_an_exponent() -> None:
    chance = random.Random(11)
    for _ in range(2000):
        factor = 10 ** chance.uniform(-4, 4)
        assert "e+" not in factor_text(factor)
        assert "e-" not in factor_text(factor)


def test_capital_changes_the_first_letter_alone() -> None:
    assert [capital(text) for text in ("fed by hand", "pH of it", "", "éa")] == ["Fed by hand", "PH of it", "", "Éa"]
