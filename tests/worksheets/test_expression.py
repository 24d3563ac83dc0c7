"""Expressions: their arithmetic against Python's own, what they refuse, and that hostile ones do no harm."""

import math
import random

import pytest
from faultleaf.physics import unit_named
from faultleaf.worksheets import ExpressionError, NoResult, dimension_of, evaluate, parse_expression

NAMES = {"a": 2.5, "b": -0.75, "long-name": 7.0}


def _random_text(draw: random.Random, depth: int) -> tuple[str, str]:
    """An expression of ours, and the same in Python."""
    if depth == 0 or draw.random() < 0.2:
        if draw.random() < 0.5:
            name = draw.choice(list(NAMES))
            return name, f"N[{name!r}]"
        number = str(round(draw.uniform(0.1, 9), 2))
        return number, number
    one, two = _random_text(draw, depth - 1), _random_text(draw, depth - 1)
    kind = draw.choice(["+", "-", "*", "/", "^", "(", "neg", "min"])
    if kind == "^":
        power = draw.choice([2, 3, -1])
        return f"({one[0]})^{power}", f"({one[1]})**{power}"
    if kind == "(":
        return f"({one[0]})", f"({one[1]})"
    if kind == "neg":
        return f"- ({one[0]})", f"-({one[1]})"
    if kind == "min":
        return f"min({one[0]}, {two[0]})", f"min({one[1]}, {two[1]})"
    return f"{one[0]} {kind} {two[0]}", f"{one[1]} {kind} {two[1]}"


def test_a_thousand_random_expressions_give_what_python_gives() -> None:
    draw = random.Random(20261126)
    compared = 0
    for _ in range(1000):
        ours, python = _random_text(draw, 4)
        try:
            found = evaluate(parse_expression(ours), NAMES)
        except (ExpressionError, NoResult):
            continue
        assert found == pytest.approx(eval(python, {"N": NAMES, "min": min}), rel=1e-12)
        compared += 1
    assert compared > 800


@pytest.mark.parametrize(
    "text",
    [
        "a.__class__", "__import__('os')", "a if b else a", "[a for a in b]", "lambda: 1", "a := 2", "a; b", "'a' * 9",
        "9^9^9", "a^99999999999999999999", "((" * 5000 + "a" + "))" * 5000, "-" * 299, "1" * 299, "a" * 299 + ".b",
        "min(" * 60 + "a" + ")" * 60, "+".join(["a"] * 149) + "+(",
        "a\x00b", "a\u202eb", "а + b", "a//b", "a**2", "0x10",
        "1_000", "1e9", "inf", "nan + a(", "", "   ", "()", "a,b", "min()", "a [in]", "2 [", "2 ]in[", "2 [in] [in]",
    ],
)  # fmt: skip
def test_hostile_and_broken_expressions_are_refused(text: str) -> None:
    with pytest.raises(ExpressionError) as refused:
        dimension_of(parse_expression(text), {"a": unit_named("in").dimension, "b": unit_named("in").dimension})
    assert refused.value.message
    assert "[" not in refused.value.code


def test_a_number_carries_its_unit() -> None:
    assert evaluate(parse_expression("2 [in] + 1 [ft]"), {}) == pytest.approx(14 * 0.0254)
    assert evaluate(parse_expression("212 [degF]"), {}) == pytest.approx(373.15)


@pytest.mark.parametrize("text", ["1 / (a - a)", "(a - a)^-1", "sqrt(b)", "ln(b)", "ln(a - a)", "exp(a * 1000)"])
def test_what_has_no_value_says_so_and_is_never_a_nan(text: str) -> None:
    with pytest.raises(NoResult) as reason:
        evaluate(parse_expression(text), NAMES)
    assert str(reason.value)
    assert math.isfinite(evaluate(parse_expression("a / b"), NAMES))
