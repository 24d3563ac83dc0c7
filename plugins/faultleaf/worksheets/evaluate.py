"""An expression's value, in SI base units. assets/js/worksheets/evaluate.js does the same; tests hold both together."""

import math
from collections.abc import Mapping

from faultleaf.physics import unit_named
from faultleaf.worksheets.expression import Binary, Call, Expression, Name, Negative, Number, Power
from faultleaf.worksheets.functions import FUNCTIONS


class NoResult(ValueError):
    """Why an expression has no value here, as the end of a sentence."""


def evaluate(tree: Expression, values: Mapping[str, float]) -> float:
    """The value in SI, where `values` are the names' values in SI; raises NoResult, never gives NaN or infinity."""
    try:
        found = _value(tree, values)
    except NoResult:
        raise
    except OverflowError:
        raise NoResult("the result is too large") from None
    except ValueError as error:
        raise NoResult(_reason(error)) from None
    if not math.isfinite(found):
        raise NoResult("the result is too large")
    return found


def _reason(error: Exception) -> str:
    words = str(error)
    return words if words.startswith("the ") else "a root or logarithm of a number that has none"


def _value(tree: Expression, values: Mapping[str, float]) -> float:
    match tree:
        case Number(value, unit):
            return unit_named(unit).to_si(value) if unit else value
        case Name(name):
            return values[name]
        case Negative(part):
            return -_value(part, values)
        case Power(base, exponent):
            return _raised(_value(base, values), exponent)
        case Call(function, arguments):
            return float(FUNCTIONS[function].run(*(_value(each, values) for each in arguments)))
        case Binary(mark, left, right):
            return _joined(mark, _value(left, values), _value(right, values))


def _joined(mark: str, left: float, right: float) -> float:
    if mark == "+":
        return left + right
    if mark == "-":
        return left - right
    if mark == "*":
        return left * right
    if right == 0:
        raise NoResult("something would be divided by nothing")
    return left / right


def _raised(base: float, exponent: int) -> float:
    if exponent < 0:
        return _joined("/", 1.0, _raised(base, -exponent))
    found = 1.0
    for _ in range(exponent):
        found *= base
    return found
