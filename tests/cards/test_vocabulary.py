"""The words and what they mean: MODEL.md, rule 1, written out a second time."""

import itertools
import pickle

import pytest
from faultleaf.cards.mistakes import Mistake, Origin, did_you_mean, quoted
from faultleaf.cards.values import parse_rate
from faultleaf.cards.vocabulary import (
    BARE_OUTCOME,
    OTHERWISE_SHARE,
    PROBABILITY_WORDS,
    RANKS,
    RATE_WORDS,
    SIGNAL_WORDS,
    probability_word,
    rank_level,
)

RULE_1 = (
    "never .001 · hardly-ever .02 · seldom .1 · sometimes .3 · half .5 · often .7 · usually .85 · nearly-always .95 · "
    "always .99"
)
RATES = "very-common 8 · common 4 · occasional 2 · uncommon 1 · rare 0.4"


def table(rule: str) -> dict[str, float]:
    return {word: float(number) for word, number in (entry.split() for entry in rule.split(" · "))}


def test_the_words_for_probabilities_are_those_of_the_rule() -> None:
    assert dict(PROBABILITY_WORDS) == table(RULE_1)


def test_the_words_for_rates_are_those_of_the_rule() -> None:
    assert dict(RATE_WORDS) == table(RATES)


def test_only_a_number_may_be_certain() -> None:
    assert all(0 < value < 1 for value in PROBABILITY_WORDS.values())


def test_stronger_words_mean_more() -> None:
    assert all(low < high for low, high in itertools.pairwise(PROBABILITY_WORDS.values()))
    assert all(high > low for high, low in itertools.pairwise(RATE_WORDS.values()))


def test_the_scales_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        PROBABILITY_WORDS["never"] = 0.0  # type: ignore[index]


def test_a_bare_outcome_means_usually_and_a_bare_otherwise_nine_in_ten() -> None:
    assert (BARE_OUTCOME, PROBABILITY_WORDS[BARE_OUTCOME], OTHERWISE_SHARE) == ("usually", 0.85, 0.9)


def test_ranks_rise_and_signal_words_fall() -> None:
    assert [rank_level(rank) for rank in ("owner", "apprentice", "technician", "licensed")] == [0, 1, 2, 3]
    assert len(RANKS) == 4
    assert SIGNAL_WORDS == ("danger", "warning", "caution", "notice")


def test_words_are_found_again_from_their_numbers() -> None:
    assert all(probability_word(value) == word for word, value in PROBABILITY_WORDS.items())
    assert probability_word(0.42) is None


def test_rates_keep_the_word_that_was_written_and_only_that() -> None:
    for word, value in RATE_WORDS.items():
        assert (parse_rate(word), parse_rate(word).word) == (value, word)
        assert (parse_rate(str(value)), parse_rate(str(value)).word) == (value, "")
    assert pickle.loads(pickle.dumps(parse_rate("common"))).word == "common"


def test_the_nearest_name_is_offered_else_a_short_choice_else_nothing() -> None:
    assert did_you_mean("hodl", ["hold", "glass"]) == "Did you mean 'hold'?"
    assert did_you_mean("xyz", ["b", "a"]) == "Choose from: a, b."
    assert did_you_mean("xyz", ["b", "a"], "Look it up.") == "Look it up."
    assert did_you_mean("xyz", [f"name{n}" for n in range(13)]) == ""
    assert did_you_mean("xyz", []) == ""


def test_the_offer_does_not_hang_on_the_order_of_the_names() -> None:
    names = ["valve-a", "valve-b", "valve-c"]
    assert {did_you_mean("valve", order) for order in itertools.permutations(names)} == {"Did you mean 'valve-c'?"}


def test_a_quote_stays_on_its_line_and_short() -> None:
    assert quoted(" a\n b ") == "'a b'"
    assert len(quoted("x" * 5000)) == 82


def test_a_mistake_reads_as_one_line() -> None:
    mistake = Mistake("a.md", 3, "shows.hold", "no such outcome", "Did you mean 'x'?", "unknown-outcome")
    assert str(mistake) == "a.md:3: shows.hold: no such outcome. Did you mean 'x'? [unknown-outcome]"
    assert str(Mistake("a.md", 1, "", "broken", code="c", severity="warning")) == "a.md:1: warning: broken. [c]"


def test_a_field_without_a_line_takes_that_of_what_holds_it() -> None:
    origin = Origin("a.md", {(): 2, ("shows",): 5, ("shows", "hold"): 6})
    asked = [("shows", "hold", "rises"), ("shows", "hold"), ("shows", 0), ("title",), ()]
    assert [origin.line_of(loc) for loc in asked] == [6, 6, 5, 2, 2]
    assert Origin("a.md").line_of(("x",)) == 1
