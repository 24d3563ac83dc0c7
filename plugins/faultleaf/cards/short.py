"""The terse words that stand on a printed sheet, where a box has room for a few letters.

Letters are a first bound; whether the words fit is measured in the sheet's own font (`pipeline/widths.py`).
"""

from collections.abc import Mapping
from typing import Annotated, Any, Final

from pydantic import BeforeValidator, Field, WithJsonSchema

from faultleaf.cards.base import Model
from faultleaf.cards.mistakes import quoted
from faultleaf.cards.values import Line, Slug, parse_line, refuse

LONGEST_KEY: Final = 9
LONGEST_ORDER: Final = 28
"""Letters of a caution's order; a danger stands on a line of its own, so that it may take more."""
LONGEST_DANGER: Final = 80


def parse_key(raw: Any) -> str:
    """A caution's key: one word in capitals.

    >>> parse_key("VOLTS")
    'VOLTS'
    """
    text = parse_line(raw)
    if not (text.isascii() and text.isalpha() and text.isupper()) or len(text) > LONGEST_KEY:
        hint = f"One word in capitals, at most {LONGEST_KEY} letters, for example VOLTS."
        refuse("bad-key", f"{quoted(text)} is no key of a caution", hint)
    return text


Key = Annotated[
    str, BeforeValidator(parse_key), WithJsonSchema({"type": "string", "pattern": f"^[A-Z]{{1,{LONGEST_KEY}}}$"})
]


class Short(Model):
    """A test, or a question about the system, in the field's terse speech."""

    order: Line = Field(max_length=34, description="What to do, at most 34 letters")
    asks: Line = Field(max_length=26, description="The question, at most 26 letters")
    outcomes: Mapping[Slug, Annotated[Line, Field(max_length=18)]] = Field(
        description="Every outcome by what the eye sees, at most 18 letters each"
    )
