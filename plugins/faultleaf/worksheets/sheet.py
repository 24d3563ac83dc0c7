"""A worksheet as plain values, and how it is worked: every result with its ±, or the reason why there is none."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from faultleaf.physics import unit_named
from faultleaf.worksheets.evaluate import NoResult, evaluate
from faultleaf.worksheets.expression import Expression
from faultleaf.worksheets.shown import plain_text
from faultleaf.worksheets.typed import Measured, NotRead, read_typed

NEAR: Final = 1e-9
"""Share by which a value may pass a bound: what changing units there and back costs."""


@dataclass(frozen=True)
class Field:
    """An input: `least`, `most` and the choices' values are in `unit`; None where there is no bound."""

    title: str
    unit: str
    least: float | None = None
    most: float | None = None
    choices: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Saying:
    """What a result in [least, most), in the result's unit, means in words."""

    least: float
    most: float
    words: str


@dataclass(frozen=True)
class Outcome:
    """A result: the expression over the inputs and the results before it."""

    title: str
    unit: str
    tree: Expression
    digits: int = 3
    says: tuple[Saying, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """A worksheet without its words: inputs and results by id, in order."""

    inputs: Mapping[str, Field]
    results: Mapping[str, Outcome]


@dataclass(frozen=True)
class Worked:
    """A result in SI with its ± (None where it cannot be said), or `reason` why there is none.

    `says`: what the value means; `also`: what else it may mean within its ±.
    """

    value: float | None
    give: float | None = 0.0
    reason: str = ""
    says: str = ""
    also: str = ""


def input_value(given: Field, text: str, give: str = "") -> Measured:
    """What is put in, from a choice's words or from what was typed; raises NotRead."""
    if not given.choices:
        return read_typed(text, given.unit, given.least, given.most, give)
    if text not in given.choices:
        raise NotRead(f"'{text}' is not among the choices: {', '.join(given.choices)}")
    return Measured(unit_named(given.unit).to_si(given.choices[text]))


def outside_range(given: Field, measured: Measured) -> str:
    """The warning where a value lies outside the sensible range, "" where it does not."""
    unit = unit_named(given.unit)
    value = unit.from_si(measured.value)
    if given.least is not None and value < given.least - NEAR * abs(given.least):
        return f"below what is sensible, {plain_text(given.least)} {unit.label}".rstrip()
    if given.most is not None and value > given.most + NEAR * abs(given.most):
        return f"above what is sensible, {plain_text(given.most)} {unit.label}".rstrip()
    return ""


def work(sheet: Sheet, given: Mapping[str, Measured]) -> dict[str, Worked]:
    """Every result, by id. An input that is missing leaves without a value what needs it.

    The ± of a result joins, as the root of the sum of squares, what each input's own ± does to it alone (the larger
    of both directions): inputs are taken to be off independently of each other.
    """
    values = {name: measured.value for name, measured in given.items()}
    best = _run(sheet, values)
    spread: dict[str, float] = dict.fromkeys(sheet.results, 0.0)
    unknown: set[str] = set()
    for name, measured in given.items():
        if measured.give == 0:
            continue
        ends = [_run(sheet, {**values, name: measured.value + side * measured.give}) for side in (-1, 1)]
        for result, found in best.items():
            if isinstance(found, str):
                continue
            moved = [end[result] for end in ends]
            if any(isinstance(each, str) for each in moved):
                unknown.add(result)
            else:
                spread[result] += max(abs(float(each) - found) for each in moved) ** 2
    gives = {name: None if name in unknown else math.sqrt(spread[name]) for name in best}
    return {name: _worked(sheet.results[name], found, gives[name]) for name, found in best.items()}


def _worked(outcome: Outcome, found: float | str, give: float | None) -> Worked:
    if isinstance(found, str):
        return Worked(None, None, found)
    says = _says(outcome, found)
    others = (_says(outcome, found - (give or 0)), _says(outcome, found + (give or 0)))
    return Worked(found, give, "", says, next((each for each in others if each != says), ""))


def _run(sheet: Sheet, values: Mapping[str, float]) -> dict[str, float | str]:
    known, found = dict(values), dict[str, float | str]()
    for name, outcome in sheet.results.items():
        try:
            known[name] = evaluate(outcome.tree, known)
            found[name] = known[name]
        except KeyError as missing:
            needed = missing.args[0]
            titled = sheet.inputs.get(needed) or sheet.results[needed]
            found[name] = f"'{titled.title}' is missing"
        except NoResult as error:
            found[name] = str(error)
    return found


def _says(outcome: Outcome, value: float) -> str:
    shown = unit_named(outcome.unit).from_si(value)
    return next((each.words for each in outcome.says if each.least <= shown < each.most), "")
