"""An arithmetic expression as an author writes it → a small tree. Our own parser: nothing is ever run as code.

    sum      = product { ("+" | "-") product }
    product  = sign { ("*" | "/") sign }
    sign     = "-" sign | power
    power    = atom [ "^" [ "-" ] digits ]
    atom     = number [ "[" unit "]" ] | name | name "(" sum { "," sum } ")" | "(" sum ")"

A name may hold hyphens; a minus has blanks around it. A number may carry its unit: `240 [BTU/h/EDR]`.
"""

import math
import re
from dataclasses import dataclass
from typing import Final, NoReturn

from faultleaf.physics import UNIT_NAMES

LONGEST: Final = 300
DEEPEST: Final = 24
MOST_PARTS: Final = 150
HIGHEST_POWER: Final = 4
LARGEST_NUMBER: Final = 1e12

_TOKEN: Final = re.compile(
    r"\s*(?:(?P<number>\d+(?:\.\d+)?)|(?P<name>[a-z][a-z0-9]*(?:-[a-z0-9]+)*)|\[(?P<unit>[^\[\]]*)\]|(?P<mark>[-+*/^(),]))"
)
_REACHES: Final = "Only numbers, names, functions and + - * / ^ ( ) can stand in an expression."


class ExpressionError(ValueError):
    """What is wrong with an expression: a stable code, a sentence, and a hint."""

    def __init__(self, code: str, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.code, self.message, self.hint = code, message, hint


@dataclass(frozen=True)
class Number:
    """A number, in its unit ("" for a plain one)."""

    value: float
    unit: str = ""


@dataclass(frozen=True)
class Name:
    """An input, or a result that was worked out before."""

    name: str


@dataclass(frozen=True)
class Call:
    """A named function of its arguments."""

    function: str
    arguments: tuple["Expression", ...]


@dataclass(frozen=True)
class Binary:
    """Two parts joined by + - * or /."""

    mark: str
    left: "Expression"
    right: "Expression"


@dataclass(frozen=True)
class Power:
    """A part raised to a small whole number."""

    base: "Expression"
    exponent: int


@dataclass(frozen=True)
class Negative:
    """A part with its sign turned."""

    part: "Expression"


Expression = Number | Name | Call | Binary | Power | Negative


def parse_expression(text: str) -> Expression:
    """The tree of an expression; raises ExpressionError.

    >>> parse_expression("2 * rise")
    Binary(mark='*', left=Number(value=2.0, unit=''), right=Name(name='rise'))
    """
    if len(text) > LONGEST:
        _refuse(f"an expression of at most {LONGEST} characters is expected", "Cut it into several results.")
    reader = _Reader(_tokens(text))
    tree = reader.sum()
    if reader.kind != "end":
        _refuse(f"'{reader.text}' is not expected here", _REACHES)
    return tree


def _refuse(message: str, hint: str = "", code: str = "bad-expression") -> NoReturn:
    raise ExpressionError(code, message, hint)


def _tokens(text: str) -> list[tuple[str, str]]:
    found, place, whole = [], 0, text.rstrip()
    while place < len(whole):
        match = _TOKEN.match(whole, place)
        if match is None or match.lastgroup is None:
            _refuse(f"'{whole[place:].strip()[:20]}' cannot be read", _REACHES)
        found.append((match.lastgroup, match[match.lastgroup]))
        place = match.end()
    if len(found) > 2 * MOST_PARTS:
        _refuse("the expression has too many parts", "Cut it into several results.")
    return [*found, ("end", "the end")]


class _Reader:
    """Reads tokens from the left, one ahead."""

    def __init__(self, tokens: list[tuple[str, str]]) -> None:
        self._tokens, self._place, self._depth, self._parts = tokens, 0, 0, 0

    @property
    def kind(self) -> str:
        return self._tokens[self._place][0]

    @property
    def text(self) -> str:
        return self._tokens[self._place][1]

    def _take(self) -> str:
        text = self.text
        self._place += 1
        return text

    def _is_mark(self, *marks: str) -> bool:
        return self.kind == "mark" and self.text in marks

    def _expect(self, mark: str) -> None:
        if not self._is_mark(mark):
            _refuse(f"'{mark}' is expected, found '{self.text}'")
        self._take()

    def _count(self) -> None:
        self._parts += 1
        if self._parts > MOST_PARTS:
            _refuse("the expression has too many parts", "Cut it into several results.")

    def sum(self) -> Expression:
        self._depth += 1
        if self._depth > DEEPEST:
            _refuse("the expression is nested too deep", "Cut it into several results.")
        left = self._product()
        while self._is_mark("+", "-"):
            left = Binary(self._take(), left, self._product())
            self._count()
        self._depth -= 1
        return left

    def _product(self) -> Expression:
        left = self._sign()
        while self._is_mark("*", "/"):
            left = Binary(self._take(), left, self._sign())
            self._count()
        return left

    def _sign(self) -> Expression:
        minus = 0
        while self._is_mark("-"):
            self._take()
            minus += 1
        part = self._power()
        return Negative(part) if minus % 2 else part

    def _power(self) -> Expression:
        base = self._atom()
        if not self._is_mark("^"):
            return base
        self._take()
        sign = -1 if self._is_mark("-") and self._take() else 1
        if self.kind != "number" or not self.text.isdigit():
            _refuse("a power must be a whole number", f"Write ^2, ^3 or ^-1; at most {HIGHEST_POWER}.")
        exponent = int(self._take()[:9])
        if self._is_mark("^"):
            _refuse("a power stands on a power", "Use parentheses.")
        if exponent > HIGHEST_POWER:
            _refuse(f"a power of at most {HIGHEST_POWER} is expected")
        return Power(base, sign * exponent)

    def _atom(self) -> Expression:
        self._count()
        if self.kind == "number":
            return self._number()
        if self.kind == "name":
            name = self._take()
            return self._call(name) if self._is_mark("(") else Name(name)
        if self._is_mark("("):
            self._take()
            inner = self.sum()
            self._expect(")")
            return inner
        _refuse(f"a number, a name or '(' is expected, found '{self.text}'", _REACHES)

    def _number(self) -> Expression:
        value = float(self._take())
        if not math.isfinite(value) or value > LARGEST_NUMBER:
            _refuse(f"the number is larger than {LARGEST_NUMBER:g}")
        if self.kind != "unit":
            return Number(value)
        unit = self._take().strip()
        if unit not in UNIT_NAMES:
            _refuse(f"'{unit}' is not a known unit", "For example 240 [BTU/h/EDR].", "unknown-unit")
        return Number(value, unit)

    def _call(self, name: str) -> Expression:
        self._expect("(")
        arguments = [self.sum()]
        while self._is_mark(","):
            self._take()
            arguments.append(self.sum())
        self._expect(")")
        return Call(name, tuple(arguments))


def names_in(tree: Expression) -> tuple[str, ...]:
    """Every name that an expression uses, once each, from the left."""
    match tree:
        case Name(name):
            return (name,)
        case Call(_, arguments):
            return tuple(dict.fromkeys(name for each in arguments for name in names_in(each)))
        case Binary(_, left, right):
            return tuple(dict.fromkeys((*names_in(left), *names_in(right))))
        case Power(part, _) | Negative(part):
            return names_in(part)
        case _:
            return ()
