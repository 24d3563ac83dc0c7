"""Do the dimensions of an expression fit? Checked with pint when the cards are read, never while a sum is done."""

from collections.abc import Mapping

from faultleaf.physics import Dimension, dimension_words, unit_named
from faultleaf.worksheets.expression import Binary, Call, Expression, ExpressionError, Name, Negative, Number, Power
from faultleaf.worksheets.functions import FUNCTIONS, ROOT, SAME


def dimension_of(tree: Expression, names: Mapping[str, Dimension]) -> Dimension:
    """What an expression measures, where `names` are what its names measure; raises ExpressionError."""
    match tree:
        case Number(_, unit):
            return unit_named(unit or "count").dimension
        case Name(name):
            if name not in names:
                raise ExpressionError(
                    "unknown-name", f"there is no input or earlier result '{name}'", _near(name, names)
                )
            return names[name]
        case Negative(part):
            return dimension_of(part, names)
        case Power(base, exponent):
            return dimension_of(base, names) ** exponent
        case Binary(mark, left, right):
            return _joined(mark, dimension_of(left, names), dimension_of(right, names))
        case Call(function, arguments):
            return _of_call(function, [dimension_of(each, names) for each in arguments])


def _near(name: str, names: Mapping[str, Dimension]) -> str:
    if any(name.startswith(f"{known}-") for known in names):
        return "A minus sign has a blank on each side."
    return f"Choose from: {', '.join(names)}."


def _joined(mark: str, left: Dimension, right: Dimension) -> Dimension:
    if mark == "*":
        return left * right
    if mark == "/":
        return left / right
    if left != right:
        verb = ("added to", "taken from")[mark == "-"]
        one, other = (left, right) if mark == "+" else (right, left)
        message = f"{dimension_words(one)} cannot be {verb} {dimension_words(other)}"
        raise ExpressionError("bad-dimension", message, "Divide or multiply one of them first.")
    return left


def _of_call(function: str, given: list[Dimension]) -> Dimension:
    known = FUNCTIONS.get(function)
    if known is None:
        raise ExpressionError("unknown-function", f"there is no function '{function}'", _choice(function))
    if len(given) != len(known.takes):
        message = f"the function '{function}' takes {len(known.takes)} and not {len(given)} values"
        raise ExpressionError("wrong-count", message, "")
    for place, (takes, found) in enumerate(zip(known.takes, given, strict=True), 1):
        wanted = given[0] if takes == SAME else unit_named(takes).dimension
        if found != wanted:
            message = (
                f"value {place} of '{function}' must be {dimension_words(wanted)}, this is {dimension_words(found)}"
            )
            raise ExpressionError("bad-dimension", message, "")
    if known.gives == SAME:
        return given[0]
    return given[0] ** 0.5 if known.gives == ROOT else unit_named(known.gives).dimension


def _choice(name: str) -> str:
    near = [known for known in FUNCTIONS if known.startswith(name[:3])]
    return f"Did you mean '{near[0]}'?" if near else f"Choose from: {', '.join(FUNCTIONS)}."
