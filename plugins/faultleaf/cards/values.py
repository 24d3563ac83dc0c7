"""Field types: text as an author wrote it → a typed value, or a mistake in plain words.

Every scalar reaches these types as text (`yes`, `on` and `24:00` stay what was written).
Each type also says how it looks in the JSON Schema that editors read.
"""

import datetime as dt
import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Final, NoReturn

from pydantic import BeforeValidator, PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from faultleaf.cards import vocabulary as words
from faultleaf.cards.mistakes import did_you_mean, quoted
from faultleaf.worksheets import Expression, ExpressionError, parse_expression

LONGEST_LINE: Final = 300
LONGEST_ID: Final = 100
"""Letters. Addresses are put together from two of them, and a file's name may have 255."""
HIGHEST_RATE: Final = 1e6
MOST_WORK: Final = 1000 * 60.0
"""Minutes of one step."""
LONGEST_DURATION: Final = 100 * 366 * 1440.0
"""Minutes. Beyond it dates cannot be reckoned with, and a digit was typed too often."""
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_DURATION = re.compile(r"(\d+(?:\.\d+)?)\s*([a-z]+)")
_MINUTES: Final = {
    "min": 1.0, "mins": 1.0, "minute": 1.0, "minutes": 1.0, "h": 60.0, "hour": 60.0, "hours": 60.0,
    "day": 1440.0, "days": 1440.0, "week": 10080.0, "weeks": 10080.0,
}  # fmt: skip
_ENDLESS: Final = {"inf": math.inf, "-inf": -math.inf}
_SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def refuse(code: str, message: str, hint: str = "") -> NoReturn:
    """Raise pydantic's error with our stable code, a sentence and a hint."""
    raise PydanticCustomError(code, "{message}", {"message": message, "hint": hint})


def _text(raw: Any, what: str) -> str:
    if not isinstance(raw, str):
        shape = "a list" if isinstance(raw, list) else "a mapping" if isinstance(raw, dict) else "nothing"
        refuse("wrong-type", f"expected {what}, found {shape}")
    return str(raw).strip()


def parse_line(raw: Any) -> str:
    """One line of readable text, white space folded; mistakes: empty, too long, control characters."""
    text = " ".join(_text(raw, "a line of text").split())
    if not text:
        refuse("empty", "expected a line of text, found nothing")
    if len(text) > LONGEST_LINE:
        refuse("too-long", f"a line of at most {LONGEST_LINE} characters is expected, this has {len(text)}")
    if any(not char.isprintable() for char in text):
        refuse("control-character", "the text holds an invisible control character", "Type the line again.")
    return text


def parse_slug(raw: Any) -> str:
    """An id: lower-case letters, digits and single hyphens."""
    text = _text(raw, "an id")
    if not _SLUG.fullmatch(text):
        refuse("bad-id", f"{quoted(text)} is not an id", "Use lower-case letters, digits and single hyphens.")
    if len(text) > LONGEST_ID:
        refuse("too-long", f"an id of at most {LONGEST_ID} letters is expected, this has {len(text)}")
    return text


def parse_number(raw: Any) -> float:
    """A plain finite number (`inf` only where a type of its own allows it)."""
    text = _text(raw, "a number")
    try:
        number = float(text)
    except ValueError:
        refuse("not-a-number", f"{quoted(text)} is not a number")
    if not math.isfinite(number):
        refuse("not-a-number", f"{quoted(text)} is not a finite number")
    return number


def _choice(names: Iterable[str]) -> str:
    """All names in the vocabulary's own order, which says more than the alphabet's."""
    return f"Choose from: {', '.join(names)}."


def _number_or_word(raw: Any, scale: Mapping[str, float], what: str) -> float:
    text = _text(raw, what)
    if text in scale:
        return scale[text]
    try:
        return parse_number(text)
    except PydanticCustomError:
        message = f"{quoted(text)} is neither a number nor a word for {what}"
        refuse("unknown-word", message, did_you_mean(text, scale, _choice(scale)))


def parse_probability(raw: Any) -> float:
    """A probability from 0 to 1, as a number or a word of the vocabulary.

    >>> parse_probability("often")
    0.7
    """
    number = _number_or_word(raw, words.PROBABILITY_WORDS, "a probability")
    if not 0 <= number <= 1:
        refuse("out-of-range", f"a probability lies between 0 and 1, this is {number:g}")
    return number


def parse_rate(raw: Any) -> words.Said:
    """A base rate above 0, as a number or a word of the vocabulary, which is kept.

    >>> parse_rate("common"), parse_rate("common").word, parse_rate("4").word
    (4.0, 'common', '')
    """
    what = "how common a fault is"
    number = _number_or_word(raw, words.RATE_WORDS, what)
    if number <= 0:
        refuse("out-of-range", f"how common a fault is must be above 0, this is {number:g}")
    if not 1 / HIGHEST_RATE <= number <= HIGHEST_RATE:
        refuse("out-of-range", f"how common a fault is lies between {1 / HIGHEST_RATE:g} and {HIGHEST_RATE:g}")
    text = _text(raw, what)
    return words.Said.by(number, text if text in words.RATE_WORDS else "")


def parse_minutes(raw: Any) -> float:
    """A duration with its unit, in minutes.

    >>> parse_minutes("1 h 30 min")
    90.0
    """
    text = _text(raw, "a duration").lower()
    example = "Write it with a unit, for example '5 min', '4 h' or '7 days'."
    if len(text) > LONGEST_LINE:  # a search for numbers in more would take hours
        refuse("bad-duration", f"{quoted(text)} is not a duration", example)
    parts = _DURATION.findall(text)
    if not parts and re.fullmatch(r"\d+(\.\d+)?", text):
        refuse("unit-missing", f"the duration {quoted(text)} has no unit", example)
    if not parts or _DURATION.sub("", text).strip():
        refuse("bad-duration", f"{quoted(text)} is not a duration", example)
    for _, unit in parts:
        if unit not in _MINUTES:
            refuse("unknown-unit", f"{quoted(unit)} is not a unit of time", did_you_mean(unit, _MINUTES, example))
    minutes = math.fsum(float(number) * _MINUTES[unit] for number, unit in parts)
    if minutes > LONGEST_DURATION:
        refuse("out-of-range", f"{quoted(text)} is longer than a hundred years", example)
    return minutes


def parse_work(raw: Any) -> float:
    """Hands-on time with its unit, in minutes; at most MOST_WORK, so that no cost drowns all others."""
    minutes = parse_minutes(raw)
    if minutes > MOST_WORK:
        refuse("out-of-range", f"{quoted(str(raw))} is more work than a call can hold, {MOST_WORK / 60:,.0f} h")
    return minutes


def parse_truth(raw: Any) -> bool:
    """`yes` or `true`, `no` or `false`."""
    text = _text(raw, "yes or no").lower()
    if text not in ("yes", "true", "no", "false"):
        refuse("wrong-type", f"expected yes or no, found {quoted(text)}")
    return text in ("yes", "true")


def parse_date(raw: Any) -> dt.date:
    """A calendar date, written 2026-11-25 (ISO 8601)."""
    text = _text(raw, "a date")
    try:
        # Python also reads 20261125 and 2026-W48-3, which readers do not.
        return dt.datetime.strptime(text if _DATE.fullmatch(text) else "", "%Y-%m-%d").date()
    except ValueError:
        refuse("bad-date", f"{quoted(text)} is not a date", "Write it as year-month-day, for example 2026-11-25.")


def parse_count(raw: Any) -> int:
    """A whole number from 1 to 99."""
    text = _text(raw, "a whole number")
    if not re.fullmatch(r"[1-9][0-9]?", text):
        refuse("out-of-range", f"{quoted(text)} is not a whole number from 1 to 99")
    return int(text)


def parse_year(raw: Any) -> int:
    """A year of four digits."""
    text = _text(raw, "a year")
    if not re.fullmatch(r"[12]\d{3}", text):
        refuse("bad-date", f"{quoted(text)} is not a year of four digits")
    return int(text)


def parse_choices(raw: Any) -> tuple[str, ...]:
    """One id or a list of ids, as a tuple."""
    items = raw if isinstance(raw, list | tuple) else [raw]
    if not items:
        refuse("empty", "expected one name or a list of names, found an empty list")
    return tuple(parse_slug(item) for item in items)


def spell_out_shown(raw: Any) -> Mapping[Any, Any]:
    """What a fault shows at one test as outcome → strength, both still as written.

    >>> spell_out_shown("rises, nearly-always"), spell_out_shown("steady")
    ({'rises': 'nearly-always'}, {'steady': 'usually'})
    """
    if isinstance(raw, Mapping):
        if not raw:
            refuse("empty", "expected an outcome, found an empty mapping")
        return raw
    outcome, comma, strength = _text(raw, "an outcome, with its strength after a comma").partition(",")
    if comma and not strength.strip():
        refuse("empty", "a strength is expected after the comma", _choice(words.PROBABILITY_WORDS))
    return {outcome.strip(): strength.strip() if comma else words.BARE_OUTCOME}


def parse_shown(raw: Any) -> dict[str, float]:
    """What a fault shows at one test: `rises`, `rises, often`, or a mapping of outcomes to strengths.

    >>> parse_shown("rises, nearly-always")
    {'rises': 0.95}
    """
    return {parse_slug(name): parse_probability(strength) for name, strength in spell_out_shown(raw).items()}


def parse_otherwise(raw: Any) -> dict[str, float] | str:
    """A test's `otherwise`: one outcome, or a mapping of outcomes to probabilities."""
    if isinstance(raw, Mapping):
        return parse_shown(raw)
    return parse_slug(raw)


def parse_where(raw: Any) -> str:
    """A feature of the equipment and one of its values, `feature=value`."""
    text = _text(raw, "a feature and its value")
    feature, equals, value = text.partition("=")
    if not equals:
        refuse("wrong-type", f"{quoted(text)} names no value", "Write feature=value, for example water-feed=manual.")
    return f"{parse_slug(feature)}={parse_slug(value)}"


def parse_acts(raw: Any) -> tuple[str, ...]:
    """What a step does to the system: one act or a list of acts."""
    acts = parse_choices(raw)
    for act in acts:
        if act not in words.ACTS:
            message = f"{quoted(act)} is not what a step does to a system"
            refuse("unknown-word", message, did_you_mean(act, words.ACTS, _choice(words.ACTS)))
    return acts


def parse_basis(raw: Any) -> str:
    """Where a number comes from: `judgement`, `12 of 57 jobs`, `source ID` or `worksheet ID`."""
    text = parse_line(raw)
    known = "Write 'judgement', '12 of 57 jobs', 'source ID' or 'worksheet ID'."
    if counted := re.fullmatch(r"(\d+) of (\d+) jobs", text):
        if int(counted[1]) > int(counted[2]) or counted[2] == "0":
            refuse("out-of-range", f"{quoted(text)} counts more than there are", known)
    elif text != "judgement" and not re.fullmatch(r"(source|worksheet) " + _SLUG.pattern, text):
        refuse("bad-basis", f"{quoted(text)} does not say where the numbers come from", known)
    return text


@dataclass(frozen=True)
class Formula:
    """An expression, as its author wrote it and as a tree."""

    text: str
    tree: Expression


def parse_formula(raw: Any) -> Formula:
    """An arithmetic expression over inputs, earlier results and named functions."""
    text = parse_line(raw)
    try:
        return Formula(text, parse_expression(text))
    except ExpressionError as error:
        refuse(error.code, error.message, error.hint)


def _end_of_limits(raw: Any) -> str:
    return _text(raw, "a number")


def parse_limits(raw: Any) -> tuple[float, float]:
    """A half-open interval [low, high) of a reading; `inf` and `-inf` are allowed."""
    if not isinstance(raw, list | tuple) or len(raw) != 2:
        refuse("bad-limits", "expected two numbers in brackets", "For example [0, 5000] or [5000, inf].")
    low, high = (_ENDLESS[end] if end in _ENDLESS else parse_number(end) for end in map(_end_of_limits, raw))
    if not low < high:
        refuse("bad-limits", f"the lower limit {low:g} is not below the upper limit {high:g}")
    return low, high


def parse_web_address(raw: Any) -> str:
    """An address of the web, http or https, without blanks."""
    text = _text(raw, "a web address")
    if not text.lower().startswith(("http://", "https://")):
        refuse("link-scheme", f"{quoted(text)} is not a web address", "Begin with https://.")
    if not (text.isascii() and text.isprintable()) or " " in text or len(text) > LONGEST_LINE:
        refuse("bad-link", f"{quoted(text)} cannot be read as a web address")
    return text.rstrip("/")


def _word_of(what: str, choices: tuple[str, ...]) -> BeforeValidator:
    """A validator for a word out of a fixed list."""

    def parse(raw: Any) -> str:
        text = _text(raw, what)
        if text not in choices:
            refuse("unknown-word", f"{quoted(text)} is not {what}", did_you_mean(text, choices, _choice(choices)))
        return text

    return BeforeValidator(parse)


def _enum(choices: tuple[str, ...]) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "enum": list(choices)})


def _schema(description: str, *examples: str, **more: Any) -> WithJsonSchema:
    shown = {"examples": list(examples)} if examples else {}
    return WithJsonSchema({"description": description, **shown, **more})


_SLUG_SCHEMA: Final = {"type": "string", "pattern": f"^{_SLUG.pattern}$"}
_CHANCE_SCHEMA: Final = {
    "anyOf": [{"enum": list(words.PROBABILITY_WORDS)}, {"type": "number", "minimum": 0, "maximum": 1}]
}
_RATE_SCHEMA: Final = {"anyOf": [{"enum": list(words.RATE_WORDS)}, {"type": "number", "exclusiveMinimum": 0}]}
_END_SCHEMA: Final = {"anyOf": [{"type": "number"}, {"enum": ["inf", "-inf"]}]}

Line = Annotated[str, BeforeValidator(parse_line), _schema("One line of text", type="string")]
Slug = Annotated[str, BeforeValidator(parse_slug), WithJsonSchema(_SLUG_SCHEMA)]
WebAddress = Annotated[
    str, BeforeValidator(parse_web_address), _schema("A web address", "https://example.org", type="string")
]
Count = Annotated[int, BeforeValidator(parse_count), WithJsonSchema({"type": "integer", "minimum": 1})]
Number = Annotated[float, BeforeValidator(parse_number), WithJsonSchema({"type": "number"})]
Truth = Annotated[bool, BeforeValidator(parse_truth), WithJsonSchema({"enum": ["yes", "no", True, False]})]
Year = Annotated[int, BeforeValidator(parse_year), WithJsonSchema({"type": "integer"})]
Date = Annotated[dt.date, BeforeValidator(parse_date), _schema("Year-month-day", "2026-11-25", type="string")]
Probability = Annotated[
    float, BeforeValidator(parse_probability), _schema("A probability", "usually", **_CHANCE_SCHEMA)
]
Rate = Annotated[words.Said, PlainValidator(parse_rate), _schema("How common", "common", **_RATE_SCHEMA)]
Minutes = Annotated[
    float, BeforeValidator(parse_minutes), _schema("A duration with its unit", "5 min", "4 h", type="string")
]
Work = Annotated[
    float, BeforeValidator(parse_work), _schema("Hands-on time with its unit", "5 min", "4 h", type="string")
]
Choices = Annotated[
    tuple[str, ...],
    BeforeValidator(parse_choices),
    _schema("One name or a list", anyOf=[_SLUG_SCHEMA, {"type": "array", "items": _SLUG_SCHEMA}]),
]
Shown = Annotated[
    Mapping[Slug, Probability],
    BeforeValidator(spell_out_shown),
    _schema(
        "An outcome, its strength after a comma; or outcomes with their strengths",
        "rises, nearly-always",
        anyOf=[{"type": "string"}, {"type": "object", "additionalProperties": _CHANCE_SCHEMA}],
    ),
]
Otherwise = Annotated[
    Mapping[str, float] | str,
    BeforeValidator(parse_otherwise),
    _schema(
        "What is seen when the fault lies elsewhere",
        "steady",
        anyOf=[_SLUG_SCHEMA, {"type": "object", "additionalProperties": _CHANCE_SCHEMA}],
    ),
]
Basis = Annotated[
    str,
    BeforeValidator(parse_basis),
    _schema("Where the numbers come from", "judgement", "12 of 57 jobs", type="string"),
]
Limits = Annotated[
    tuple[float, float],
    BeforeValidator(parse_limits),
    _schema("[low, high): low belongs to it, high does not", type="array", items=_END_SCHEMA, minItems=2, maxItems=2),
]
Where = Annotated[
    str, BeforeValidator(parse_where), _schema("A feature and its value", "water-feed=manual", type="string")
]
Acts = Annotated[
    tuple[str, ...],
    BeforeValidator(parse_acts),
    _schema(
        "One act or a list",
        anyOf=[{"enum": list(words.ACTS)}, {"type": "array", "items": {"enum": list(words.ACTS)}}],
    ),
]
Way = Annotated[str, _word_of("a way in which a test is done", words.WAYS), _enum(words.WAYS)]
Rank = Annotated[str, _word_of("a rank of who may do a step", words.RANKS), _enum(words.RANKS)]
Signal = Annotated[str, _word_of("a signal word", words.SIGNAL_WORDS), _enum(words.SIGNAL_WORDS)]
Hazard = Annotated[str, _word_of("a known hazard", words.HAZARDS), _enum(words.HAZARDS)]
Unit = Annotated[str, _word_of("a known unit", words.UNITS), _enum(words.UNITS)]
Sum = Annotated[
    Formula,
    BeforeValidator(parse_formula),
    _schema("An arithmetic expression", "rise * per-inch / time", type="string"),
]
