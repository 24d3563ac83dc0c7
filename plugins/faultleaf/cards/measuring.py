"""What makes a test a measurement: limits on a reading, and worksheets that work the outcome, or the wait, out."""

import math
from collections.abc import Mapping
from typing import Final

from pydantic import Field

from faultleaf.cards.base import Model
from faultleaf.cards.names import WorksheetId
from faultleaf.cards.values import Limits, Line, Minutes, Slug, Unit
from faultleaf.cards.worksheet import Worksheet
from faultleaf.physics import unit_named
from faultleaf.worksheets import work

NEAR: Final = 1e-9
"""Share of its step by which rounding a wait up forgives the last digit."""


class Measurement(Model):
    """A reading with a unit, whose limits divide it into exactly the test's outcomes."""

    quantity: Line
    unit: Unit
    limits: Mapping[Slug, Limits]


class WorkedOut(Model):
    """A worksheet whose results say which outcome was found."""

    worksheet: WorksheetId
    reads: tuple[Slug, ...] = Field(
        min_length=1, description="Inputs that are read at this test: empty at first, so that no example is a finding"
    )
    given: Mapping[Slug, Line] = Field({}, description="What stands in other fields at first here, where not the usual")
    decides: Mapping[Slug, Mapping[Slug, Limits]] = Field(
        min_length=1,
        description="Results in the order in which they are asked, in their own units: outcome and its [low, high). "
        "The first whose value lies in one decides; the last leaves no gap",
    )


class WaitFrom(Model):
    """A worksheet's result that says how long a test must wait: where no `wait` stands, it is the wait."""

    worksheet: WorksheetId
    result: Slug
    given: Mapping[Slug, Line] = Field({}, description="The inputs that it is worked with, where not the usual")
    up_to: Minutes = Field(60.0, description="The wait is the result rounded up to a whole number of these")


def wait_minutes(card: Worksheet, wanted: WaitFrom) -> float:
    """Minutes that the worksheet itself gives; NaN where it gives none. Raises NotRead for what is given."""
    value = work(card.sheet, card.values_with(wanted.given))[wanted.result].value
    return math.nan if value is None else unit_named("min").from_si(value)


def rounded_wait(card: Worksheet, wanted: WaitFrom) -> float:
    """The same rounded up, as a test waits."""
    return math.ceil(wait_minutes(card, wanted) / wanted.up_to - NEAR) * wanted.up_to
