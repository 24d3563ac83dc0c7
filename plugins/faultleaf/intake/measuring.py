"""What is wrong with a test that is a measurement: its limits, its worksheets, and where its wait comes from."""

import itertools
import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

from faultleaf.cards import Library, Test, Worksheet, did_you_mean
from faultleaf.cards.measuring import WaitFrom, WorkedOut, rounded_wait, wait_minutes
from faultleaf.cards.mistakes import Loc
from faultleaf.cards.values import LONGEST_DURATION
from faultleaf.intake.worksheets import OwnMistake, worksheet_mistakes
from faultleaf.physics import unit_named
from faultleaf.worksheets import NotRead, input_value, outside_range, work

Intervals = Mapping[str, tuple[float, float]]


def measuring_mistakes(library: Library, test: Test) -> Iterator[OwnMistake]:
    """Every mistake in what a test measures and works out: place, code, message, hint."""
    if test.measures:
        limits, loc = test.measures.limits, ("measures", "limits")
        if set(limits) == set(test.outcomes):
            yield from _covering_mistakes(loc, limits, "readings")
        else:
            odd = ", ".join(sorted(set(limits) ^ set(test.outcomes)))
            yield loc, "bad-limits", f"limits and outcomes differ: {odd}", "Give every outcome one interval."
    for index, one in enumerate(test.works_out):
        if card := library.worksheets.get(one.worksheet):
            yield from _worked_mistakes(test, card, ("works_out", index), one)
    if test.wait_from and (card := library.worksheets.get(test.wait_from.worksheet)):
        yield from _wait_mistakes(card, test.wait_from)


def with_waits(library: Library) -> Library:
    """The library, its cards sound, with every wait that a worksheet gives in the place where waits are read."""
    waits = {
        ("test", test.id): test.model_copy(update={"wait": rounded_wait(library.worksheets[wanted.worksheet], wanted)})
        for test in library.tests.values()
        if (wanted := test.wait_from) and "wait" not in test.model_fields_set
    }
    return replace(library, cards={**library.cards, **waits}) if waits else library


def _worked_mistakes(test: Test, card: Worksheet, loc: Loc, one: WorkedOut) -> Iterator[OwnMistake]:
    yield from _given_mistakes(card, (*loc, "given"), one.given)
    for index, name in enumerate(one.reads):
        if name not in card.inputs:
            yield (*loc, "reads", index), *_no_input(card, name)
        elif name in one.given:
            hint = "Leave it out of 'reads' or of 'given'."
            yield (
                (*loc, "given", name),
                "bad-given",
                f"'{name}' is read at this test, so nothing stands there before",
                hint,
            )
    last = [*one.decides][-1]
    for result, limits in one.decides.items():
        place = (*loc, "decides", result)
        if result not in card.results:
            yield place, *_no_result(card, result)
        for outcome in limits:
            if outcome not in test.outcomes:
                message = f"this test has no outcome '{outcome}'"
                yield (*place, outcome), "unknown-outcome", message, did_you_mean(outcome, test.outcomes)
        if not limits:
            yield place, "bad-limits", "no outcome has an interval", "For example {rises: [0.125, inf]}."
        elif result == last:
            yield from _covering_mistakes(place, limits, "results")
        else:
            yield from _overlap_mistakes(place, limits)


def _no_result(card: Worksheet, result: str) -> tuple[str, str, str]:
    message = f"the worksheet '{card.id}' has no result '{result}'"
    return "unknown-name", message, did_you_mean(result, card.results)


def _no_input(card: Worksheet, name: str) -> tuple[str, str, str]:
    return "unknown-name", f"the worksheet '{card.id}' has no input '{name}'", did_you_mean(name, card.inputs)


def _given_mistakes(card: Worksheet, loc: Loc, given: Mapping[str, str]) -> Iterator[OwnMistake]:
    for name, text in given.items():
        place = (*loc, name)
        if name not in card.inputs:
            yield place, *_no_input(card, name)
            continue
        try:
            value = input_value(card.sheet.inputs[name], text)
        except NotRead as error:
            yield place, "not-a-number", str(error), ""
            continue
        if odd := outside_range(card.sheet.inputs[name], value):
            yield place, "out-of-range", f"'{text}' is {odd}", ""


def _wait_mistakes(card: Worksheet, wanted: WaitFrom) -> Iterator[OwnMistake]:
    given = [*_given_mistakes(card, ("wait_from", "given"), wanted.given)]
    yield from given
    if wanted.up_to <= 0:
        yield ("wait_from", "up_to"), "out-of-range", "the wait cannot be rounded up to nothing", ""
    loc: Loc = ("wait_from", "result")
    if wanted.result not in card.results:
        yield loc, *_no_result(card, wanted.result)
        return
    unit = card.results[wanted.result].unit
    if unit_named(unit).dimension != unit_named("h").dimension:
        yield loc, "bad-dimension", f"'{wanted.result}' is in {unit or 'plain numbers'}, a wait is a time", ""
        return
    if given or any(worksheet_mistakes(card)):
        return  # what is wrong there has been said
    if not 0 < wait_minutes(card, wanted) <= LONGEST_DURATION:
        reason = work(card.sheet, card.values_with(wanted.given))[wanted.result].reason
        message = f"the worksheet gives no wait: {reason or 'the result is not above 0 and below a hundred years'}"
        yield loc, "bad-wait", message, ""


def _covering_mistakes(loc: Loc, limits: Intervals, what: str) -> Iterator[OwnMistake]:
    """Intervals that do not divide everything that can be read: it begins with 0 or -inf and ends with inf."""
    ordered = sorted(limits.items(), key=lambda item: item[1])
    first, (lowest, _) = ordered[0]
    if lowest not in (0, -math.inf):
        # Nothing reads below 0 in most units; where it can, -inf says so.
        yield (*loc, first), "bad-limits", f"{what} below {lowest:g} have no outcome", "Begin with 0 or -inf."
    for (name, (_, high)), (following, (low, _)) in itertools.pairwise(ordered):
        if high != low:
            wrong = "leave a gap" if high < low else "overlap"
            hint = "Each interval begins where the one before ends."
            yield (*loc, following), "bad-limits", f"the limits of '{name}' and '{following}' {wrong}", hint
    last, (_, highest) = ordered[-1]
    if not math.isinf(highest):
        yield (*loc, last), "bad-limits", f"{what} above {highest:g} have no outcome", "End with inf."


def _overlap_mistakes(loc: Loc, limits: Intervals) -> Iterator[OwnMistake]:
    """Intervals of a result after which others are asked: gaps are left to those."""
    ordered = sorted(limits.items(), key=lambda item: item[1])
    for (name, (_, high)), (following, (low, _)) in itertools.pairwise(ordered):
        if high > low:
            yield (*loc, following), "bad-limits", f"the limits of '{name}' and '{following}' overlap", ""
