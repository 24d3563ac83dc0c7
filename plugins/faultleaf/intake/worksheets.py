"""What is wrong with a worksheet card: names, dimensions, ranges, first values, examples."""

import math
from collections.abc import Iterator

from faultleaf.cards import Library, Survey, Worksheet, did_you_mean
from faultleaf.cards.mistakes import Loc, quoted
from faultleaf.cards.worksheet import Example, WorksheetInput
from faultleaf.physics import Dimension, dimension_words, unit_named
from faultleaf.worksheets import ExpressionError, Measured, NotRead, dimension_of, input_value, read_typed, work
from faultleaf.worksheets.functions import FUNCTIONS

OwnMistake = tuple[Loc, str, str, str]
DECIMALS = 1e-9


def worksheet_mistakes(card: Worksheet) -> Iterator[OwnMistake]:
    """Every mistake that the card alone shows: place, code, message, hint."""
    for name, each in card.inputs.items():
        yield from _input_mistakes(("inputs", name), each)
    found = [*_sum_mistakes(card)]
    yield from found
    if not found:  # only sums that fit can be worked
        for index, example in enumerate(card.examples):
            yield from _example_mistakes(card, ("examples", index), example)


def survey_mistakes(library: Library, card: Survey) -> Iterator[OwnMistake]:
    """What a survey fills and checks must be there, and measure the same."""
    if card.radiation not in card.asks:
        hint = did_you_mean(card.radiation, card.asks)
        yield ("radiation",), "unknown-name", f"nothing is asked for as '{card.radiation}'", hint
    for name, each in card.asks.items():
        for index, target in enumerate(each.fills):
            loc: Loc = ("asks", name, "fills", index)
            worksheet, _, wanted = target.partition(".")
            known = {f"{sheet}.{given}" for sheet, one in library.worksheets.items() for given in one.inputs}
            if target not in known:
                yield loc, "unknown-name", f"no worksheet has the input {quoted(target)}", did_you_mean(target, known)
                continue
            given = library.worksheets[worksheet].inputs[wanted]
            if each.unit is None or unit_named(each.unit).dimension != unit_named(given.unit).dimension:
                message = f"'{target}' is in {given.unit or 'plain numbers'}, this is in {each.unit or 'no unit'}"
                yield loc, "bad-dimension", message, ""
    for name, check in card.checks.items():
        sheet = library.worksheets.get(check.worksheet)
        if sheet and check.result not in sheet.results:
            message = f"the worksheet '{sheet.id}' has no result '{check.result}'"
            yield ("checks", name, "result"), "unknown-name", message, did_you_mean(check.result, sheet.results)


def _input_mistakes(loc: Loc, given: WorksheetInput) -> Iterator[OwnMistake]:
    if given.least is not None and given.most is not None and not given.least < given.most:
        yield (*loc, "most"), "bad-limits", f"the range ends at {given.most:g}, before it begins", ""
    if given.choices and given.usual is not None and given.usual not in given.choices:
        hint = did_you_mean(given.usual, given.choices)
        yield (*loc, "usual"), "unknown-value", f"there is no choice {quoted(given.usual)}", hint
    elif given.usual is not None and not given.choices:
        try:
            value = unit_named(given.unit).from_si(read_typed(given.usual, given.unit, given.least, given.most).value)
        except NotRead as error:
            yield (*loc, "usual"), "not-a-number", str(error), ""
            return
        low, high = given.least, given.most
        if (low is not None and value < low - DECIMALS) or (high is not None and value > high + DECIMALS):
            yield (*loc, "usual"), "out-of-range", f"the first value {value:g} lies outside its own range", ""


def _sum_mistakes(card: Worksheet) -> Iterator[OwnMistake]:
    names: dict[str, Dimension] = {name: unit_named(each.unit).dimension for name, each in card.inputs.items()}
    for name, result in card.results.items():
        loc: Loc = ("results", name)
        if name in card.inputs or name in FUNCTIONS:
            what = "an input" if name in card.inputs else "a function"
            yield loc, "duplicate-id", f"'{name}' is also the name of {what}", "Rename it."
            continue
        wanted = unit_named(result.unit).dimension
        try:
            found = dimension_of(result.sum.tree, names)
        except ExpressionError as error:
            yield (*loc, "sum"), error.code, error.message, error.hint
        else:
            if found != wanted:
                message = f"the sum gives {dimension_words(found)}, but {result.unit} is {dimension_words(wanted)}"
                yield (*loc, "sum"), "bad-dimension", message, ""
        names[name] = wanted


def _example_mistakes(card: Worksheet, loc: Loc, example: Example) -> Iterator[OwnMistake]:
    given = dict[str, Measured]()
    for name, each in card.inputs.items():
        text = example.given.get(name, each.usual)
        if text is None:
            continue
        try:
            given[name] = input_value(card.sheet.inputs[name], text)
        except NotRead as error:
            yield (*loc, "given", name), "not-a-number", str(error), ""
            return
    for name in example.given:
        if name not in card.inputs:
            yield (*loc, "given", name), "unknown-name", f"there is no input '{name}'", did_you_mean(name, card.inputs)
    worked = work(card.sheet, given)
    for name, text in example.gives.items():
        if name not in worked:
            hint = did_you_mean(name, card.results)
            yield (*loc, "gives", name), "unknown-name", f"there is no result '{name}'", hint
            continue
        yield from _met(card, (*loc, "gives", name), name, text, worked[name].value, worked[name].reason)


def _met(card: Worksheet, loc: Loc, name: str, text: str, value: float | None, reason: str) -> Iterator[OwnMistake]:
    unit = card.results[name].unit
    try:
        wanted = read_typed(text, unit)
    except NotRead as error:
        yield loc, "not-a-number", str(error), ""
        return
    if value is None:
        yield loc, "bad-example", f"the example gives no result: {reason}", ""
    elif not math.isclose(value, wanted.value, rel_tol=DECIMALS, abs_tol=wanted.give * (1 + DECIMALS)):
        found = unit_named(unit).from_si(value)
        yield loc, "bad-example", f"the example gives {found:.6g} {unit}, not {quoted(text)}", "Give its ± too."
