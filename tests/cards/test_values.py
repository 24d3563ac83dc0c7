"""cards/values.py: text → value, or the exact words that say why not."""

import datetime as dt
import math
from collections.abc import Callable
from typing import Any

import pytest
from faultleaf.cards.values import (
    LONGEST_LINE,
    parse_basis,
    parse_choices,
    parse_date,
    parse_limits,
    parse_line,
    parse_minutes,
    parse_number,
    parse_otherwise,
    parse_probability,
    parse_rate,
    parse_shown,
    parse_slug,
    parse_truth,
    parse_year,
)
from pydantic_core import PydanticCustomError

Parse = Callable[[Any], Any]
DURATION = "Write it with a unit, for example '5 min', '4 h' or '7 days'."
BASIS = "Write 'judgement', '12 of 57 jobs', 'source ID' or 'worksheet ID'."
DATE = "Write it as year-month-day, for example 2026-11-25."
SLUG = "Use lower-case letters, digits and single hyphens."
CHANCES = "Choose from: never, hardly-ever, seldom, sometimes, half, often, usually, nearly-always, always."
RATES = "Choose from: very-common, common, occasional, uncommon, rare."
LIMITS = "For example [0, 5000] or [5000, inf]."

GOOD: list[tuple[Parse, Any, Any]] = [
    (parse_line, "  two \n words ", "two words"),
    (parse_line, "x" * LONGEST_LINE, "x" * LONGEST_LINE),
    (parse_line, "200 °F, ½ in × 3, 水", "200 °F, ½ in × 3, 水"),
    (parse_slug, "two-pipe-2", "two-pipe-2"),
    (parse_slug, "24", "24"),
    (parse_number, "-1.5e3", -1500.0),
    (parse_probability, "always", 0.99),
    (parse_probability, "0", 0.0),
    (parse_probability, "1", 1.0),
    (parse_probability, ".25", 0.25),
    (parse_rate, "rare", 0.4),
    (parse_rate, "120", 120.0),
    (parse_minutes, "5 min", 5.0),
    (parse_minutes, "1.5h", 90.0),
    (parse_minutes, "1 h 30 min", 90.0),
    (parse_minutes, "7 Days", 7 * 1440.0),
    (parse_minutes, "2 weeks", 14 * 1440.0),
    (parse_minutes, "0 min", 0.0),
    (parse_truth, "Yes", True),
    (parse_truth, "false", False),
    (parse_date, "2024-02-29", dt.date(2024, 2, 29)),
    (parse_year, "1998", 1998),
    (parse_choices, "steady", ("steady",)),
    (parse_choices, ["a", "b"], ("a", "b")),
    (parse_shown, "steady", {"steady": 0.85}),
    (parse_shown, "rises, 0.4", {"rises": 0.4}),
    (parse_shown, "rises ,often", {"rises": 0.7}),
    (parse_shown, {"rises": "often", "steady": "0.3"}, {"rises": 0.7, "steady": 0.3}),
    (parse_otherwise, "steady", "steady"),
    (parse_otherwise, {"steady": "1"}, {"steady": 1.0}),
    (parse_basis, "judgement", "judgement"),
    (parse_basis, "0 of 57 jobs", "0 of 57 jobs"),
    (parse_basis, "source osha-1910", "source osha-1910"),
    (parse_limits, ["0", "5000"], (0.0, 5000.0)),
    (parse_limits, ["-inf", "inf"], (-math.inf, math.inf)),
]

BAD: list[tuple[Parse, Any, str, str, str]] = [
    (parse_line, "", "empty", "expected a line of text, found nothing", ""),
    (parse_line, ["a"], "wrong-type", "expected a line of text, found a list", ""),
    (parse_line, {"a": "b"}, "wrong-type", "expected a line of text, found a mapping", ""),
    (parse_line, None, "wrong-type", "expected a line of text, found nothing", ""),
    (parse_line, "x" * 301, "too-long", "a line of at most 300 characters is expected, this has 301", ""),
    (
        parse_line, "a\x00b", "control-character", "the text holds an invisible control character",
        "Type the line again.",
    ),
    (parse_slug, "Feeder", "bad-id", "'Feeder' is not an id", SLUG),
    (parse_slug, "a--b", "bad-id", "'a--b' is not an id", SLUG),
    (parse_slug, "-a", "bad-id", "'-a' is not an id", SLUG),
    (parse_slug, "a\nb", "bad-id", "'a b' is not an id", SLUG),
    (parse_slug, "x" * 100 + "!", "bad-id", f"'{'x' * 79}…' is not an id", SLUG),
    (parse_number, "5 psi", "not-a-number", "'5 psi' is not a number", ""),
    (parse_number, "inf", "not-a-number", "'inf' is not a finite number", ""),
    (parse_number, "", "not-a-number", "'' is not a number", ""),
    (parse_probability, "1.01", "out-of-range", "a probability lies between 0 and 1, this is 1.01", ""),
    (parse_probability, "-1", "out-of-range", "a probability lies between 0 and 1, this is -1", ""),
    (
        parse_probability, "usualy", "unknown-word", "'usualy' is neither a number nor a word for a probability",
        "Did you mean 'usually'?",
    ),
    (
        parse_probability, "85%", "unknown-word", "'85%' is neither a number nor a word for a probability", CHANCES,
    ),
    (
        parse_rate, "often", "unknown-word", "'often' is neither a number nor a word for how common a fault is", RATES,
    ),
    (parse_rate, "-2", "out-of-range", "how common a fault is must be above 0, this is -2", ""),
    (parse_minutes, "50", "unit-missing", "the duration '50' has no unit", DURATION),
    (parse_minutes, "soon", "bad-duration", "'soon' is not a duration", DURATION),
    (parse_minutes, "-5 min", "bad-duration", "'-5 min' is not a duration", DURATION),
    (parse_minutes, "5 min or so", "bad-duration", "'5 min or so' is not a duration", DURATION),
    (parse_minutes, "24:00", "bad-duration", "'24:00' is not a duration", DURATION),
    (parse_minutes, "3 houres", "unknown-unit", "'houres' is not a unit of time", "Did you mean 'hours'?"),
    (parse_minutes, "3 fortnights", "unknown-unit", "'fortnights' is not a unit of time", DURATION),
    (parse_minutes, "9999999 days", "out-of-range", "'9999999 days' is longer than a hundred years", DURATION),
    (parse_truth, "on", "wrong-type", "expected yes or no, found 'on'", ""),
    (parse_date, "2026-13-01", "bad-date", "'2026-13-01' is not a date", DATE),
    (parse_date, "2026-W48-3", "bad-date", "'2026-W48-3' is not a date", DATE),
    (parse_date, "20261125", "bad-date", "'20261125' is not a date", DATE),
    (parse_year, "98", "bad-date", "'98' is not a year of four digits", ""),
    (parse_choices, [], "empty", "expected one name or a list of names, found an empty list", ""),
    (parse_choices, [["a"]], "wrong-type", "expected an id, found a list", ""),
    (parse_shown, {}, "empty", "expected an outcome, found an empty mapping", ""),
    (parse_shown, "rises,", "empty", "a strength is expected after the comma", CHANCES),
    (parse_shown, ["rises"], "wrong-type", "expected an outcome, with its strength after a comma, found a list", ""),
    (parse_basis, "57 of 12 jobs", "out-of-range", "'57 of 12 jobs' counts more than there are", BASIS),
    (parse_basis, "0 of 0 jobs", "out-of-range", "'0 of 0 jobs' counts more than there are", BASIS),
    (parse_basis, "a hunch", "bad-basis", "'a hunch' does not say where the numbers come from", BASIS),
    (parse_basis, "source", "bad-basis", "'source' does not say where the numbers come from", BASIS),
    (parse_limits, "0 to 5", "bad-limits", "expected two numbers in brackets", LIMITS),
    (parse_limits, ["0"], "bad-limits", "expected two numbers in brackets", LIMITS),
    (parse_limits, ["5", "5"], "bad-limits", "the lower limit 5 is not below the upper limit 5", ""),
    (parse_limits, ["inf", "-inf"], "bad-limits", "the lower limit inf is not below the upper limit -inf", ""),
    (parse_limits, ["--inf", "0"], "not-a-number", "'--inf' is not a number", ""),
    (parse_limits, [["0"], "1"], "wrong-type", "expected a number, found a list", ""),
]  # fmt: skip


@pytest.mark.parametrize(("parse", "raw", "value"), GOOD)
def test_what_is_well_written_is_read(parse: Parse, raw: Any, value: Any) -> None:
    assert parse(raw) == value


@pytest.mark.parametrize(("parse", "raw", "code", "message", "hint"), BAD)
def test_what_is_badly_written_is_refused_in_these_words(
    parse: Parse, raw: Any, code: str, message: str, hint: str
) -> None:
    with pytest.raises(PydanticCustomError) as caught:
        parse(raw)
    assert caught.value.type == code
    assert caught.value.context == {"message": message, "hint": hint}
