"""cards/likelihood.py against a second, slow reading of MODEL.md, rule 2."""

import random
from collections.abc import Mapping
from fractions import Fraction

import pytest
from faultleaf.cards import Test, otherwise_rates, outcome_rates
from faultleaf.cards.likelihood import sum_mistake

Row = dict[str, Fraction]


def make_test(outcomes: list[str], otherwise: object = None) -> Test:
    fields = {} if otherwise is None else {"otherwise": otherwise}
    texts = {outcome: f"It is {outcome}" for outcome in outcomes}
    return Test.model_validate(
        {"id": "t", "title": "T", "asks": "What?", "takes": "1 min", "outcomes": texts, **fields}
    )


def slow_otherwise(outcomes: list[str], otherwise: str | Mapping[str, Fraction] | None) -> Row:
    """Rule 2, first half, one case after the other, in fractions."""
    row: Row = {}
    if otherwise is None:
        for outcome in outcomes:
            row[outcome] = Fraction(1, len(outcomes))
        return row
    if isinstance(otherwise, str):
        for outcome in outcomes:
            row[outcome] = Fraction(1, 10) / (len(outcomes) - 1)
        row[otherwise] = Fraction(9, 10)
        return row
    left = 1 - sum(otherwise.values(), Fraction())
    unnamed = [outcome for outcome in outcomes if outcome not in otherwise]
    for outcome in outcomes:
        row[outcome] = otherwise[outcome] if outcome in otherwise else left / len(unnamed)
    return row


def slow_row(outcomes: list[str], base: Row, named: Mapping[str, Fraction] | None) -> Row:
    """Rule 2, second half: what a fault names it gets; the rest is shared like `otherwise`."""
    if named is None:
        return base
    left = 1 - sum(named.values(), Fraction())
    share = sum((base[outcome] for outcome in outcomes if outcome not in named), Fraction())
    row: Row = {}
    for outcome in outcomes:
        if outcome in named:
            row[outcome] = named[outcome]
        elif share == 0:
            row[outcome] = left / sum(other not in named for other in outcomes)
        else:
            row[outcome] = left * base[outcome] / share
    return row


def as_text(row: Mapping[str, Fraction]) -> dict[str, str]:
    return {outcome: repr(float(share)) for outcome, share in row.items()}


def random_named(chance: random.Random, outcomes: list[str]) -> dict[str, Fraction]:
    """Some outcomes with shares that leave something, or all of them with shares that leave nothing."""
    names = chance.sample(outcomes, chance.randint(1, len(outcomes)))
    cuts = [chance.randint(0, 64) for _ in names]
    whole = sum(cuts) + (0 if len(names) == len(outcomes) else chance.randint(0, 64))
    if whole == 0:
        return {names[0]: Fraction(1)}
    return {name: Fraction(cut, whole) for name, cut in zip(names, cuts, strict=True)}


def test_random_rows_are_those_of_the_slow_reading() -> None:
    chance = random.Random(20261120)
    for _ in range(400):
        outcomes = [f"o{n}" for n in range(chance.randint(2, 6))]
        otherwise: str | dict[str, Fraction] | None = chance.choice(
            [None, chance.choice(outcomes), random_named(chance, outcomes)]
        )
        named = chance.choice([None, random_named(chance, outcomes), random_named(chance, outcomes)])
        test = make_test(outcomes, as_text(otherwise) if isinstance(otherwise, dict) else otherwise)
        base = slow_otherwise(outcomes, otherwise)
        shown = None if named is None else {outcome: float(share) for outcome, share in named.items()}
        assert list(outcome_rates(test, shown)) == outcomes
        assert otherwise_rates(test) == pytest.approx({o: float(p) for o, p in base.items()}, abs=1e-12)
        expected = {o: float(p) for o, p in slow_row(outcomes, base, named).items()}
        assert outcome_rates(test, shown) == pytest.approx(expected, abs=1e-12)
        assert sum(outcome_rates(test, shown).values()) == pytest.approx(1, abs=1e-12)


def test_one_word_means_nine_in_ten() -> None:
    assert otherwise_rates(make_test(["a", "b", "c"], "b")) == pytest.approx({"a": 0.05, "b": 0.9, "c": 0.05})


def test_nothing_said_means_flat() -> None:
    assert otherwise_rates(make_test(["a", "b", "c", "d"])) == dict.fromkeys("abcd", 0.25)


def test_a_fault_that_does_not_name_the_test_takes_otherwise() -> None:
    test = make_test(["a", "b"], "a")
    assert outcome_rates(test, None) == otherwise_rates(test)


def test_what_is_left_is_shared_like_otherwise() -> None:
    test = make_test(["a", "b", "c"], {"a": "0.6", "b": "0.3", "c": "0.1"})
    assert outcome_rates(test, {"a": 0.2}) == pytest.approx({"a": 0.2, "b": 0.6, "c": 0.2})


def test_what_is_left_is_shared_equally_where_otherwise_gives_nothing() -> None:
    test = make_test(["a", "b", "c"], {"a": "1", "b": "0", "c": "0"})
    assert outcome_rates(test, {"a": 0.5}) == {"a": 0.5, "b": 0.25, "c": 0.25}


def test_a_sum_is_wrong_above_one_and_below_one_when_nothing_is_left() -> None:
    assert sum_mistake(("a", "b"), {"a": 0.7, "b": 0.4}) == "the probabilities add up to 1.1, more than 1"
    assert sum_mistake(("a", "b"), {"a": 0.7, "b": 0.2}) == (
        "the probabilities add up to 0.9, and no outcome is left for the rest"
    )
    assert sum_mistake(("a", "b"), {"a": 1.2}) == "the probabilities add up to 1.2, more than 1"
    assert sum_mistake(("a", "b"), {"a": 0.7}) == ""
    assert sum_mistake(("a", "b", "c"), {"a": 0.1, "b": 0.2, "c": 0.7}) == ""
