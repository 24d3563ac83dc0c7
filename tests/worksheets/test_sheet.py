"""A worksheet's results: whatever the units, with the ± of what goes in, and a reason where there is none."""

import math
import random

import pytest
from faultleaf.cards import Worksheet
from faultleaf.physics import alternatives, unit_named
from faultleaf.worksheets import Field, Measured, Outcome, Saying, Sheet, parse_expression, read_typed, work

from tests.cli.calls import shipped_library

CARDS = list(shipped_library().worksheets.values())


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_any_choice_of_units_gives_the_same_results(card: Worksheet) -> None:
    draw = random.Random(card.id)
    for _ in range(20):
        given: dict[str, Measured] = {}
        other: dict[str, Measured] = {}
        for name, each in card.inputs.items():
            own = unit_named(each.unit)
            if each.choices:
                given[name] = other[name] = Measured(own.to_si(next(iter(each.choices.values()))))
                continue
            low, high = each.least or 0.0, 100.0 if each.most is None else each.most
            value = draw.uniform(low, high)
            turned = unit_named(draw.choice(alternatives(each.unit)))
            given[name] = read_typed(f"{value:.15f}", each.unit)
            # Typed as the same amount in another unit, with that unit written behind it.
            behind = turned.name if turned != own else ""
            other[name] = read_typed(f"{turned.from_si(own.to_si(value)):.18f}{behind}", each.unit)
        for one, two in zip(work(card.sheet, given).values(), work(card.sheet, other).values(), strict=True):
            assert (one.value is None) == (two.value is None), card.id
            assert one.value is None or math.isclose(one.value, two.value or 0.0, rel_tol=1e-7, abs_tol=1e-10), card.id


def _sheet(**sums: str) -> Sheet:
    inputs = {name: Field(name.upper(), "in") for name in ("a", "b", "c")}
    says = (Saying(-math.inf, 2, "short"), Saying(2, math.inf, "long"))
    return Sheet(inputs, {name: Outcome(name, "in", parse_expression(text), 3, says) for name, text in sums.items()})


def test_errors_join_as_the_root_of_the_sum_of_squares() -> None:
    """3 and 4 make 5 (any textbook of measurement)."""
    found = work(_sheet(sum="a + b"), {"a": Measured(1.0, 0.3), "b": Measured(2.0, 0.4)})["sum"]
    assert found.give == pytest.approx(0.5)


def test_a_result_rests_on_those_before_it_and_names_what_is_missing() -> None:
    found = work(_sheet(first="a + b", second="first * c / c"), {"a": Measured(1.0), "c": Measured(1.0)})
    assert found["first"].reason == "'B' is missing"
    assert found["second"].reason == "'first' is missing"


def test_an_error_that_reaches_over_the_edge_is_said() -> None:
    root = work(_sheet(root="sqrt(a * a - b * b)"), {"a": Measured(2.0, 0.5), "b": Measured(1.9)})["root"]
    assert root.value is not None
    assert root.give is None


def test_what_a_result_means_and_may_mean() -> None:
    inch = unit_named("in").factor
    found = work(_sheet(sum="a"), {"a": Measured(1.9 * inch, 0.3 * inch)})["sum"]
    assert (found.says, found.also) == ("short", "long")
    assert work(_sheet(sum="a"), {"a": Measured(1.9 * inch)})["sum"].also == ""
