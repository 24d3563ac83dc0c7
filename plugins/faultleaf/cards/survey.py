"""The survey card: what is written down of an installation once, which worksheets it fills, and what must match."""

from collections.abc import Mapping

from pydantic import Field

from faultleaf.cards.base import Card, Model
from faultleaf.cards.names import CautionId, FaultId, FeatureId, WorksheetId
from faultleaf.cards.values import Limits, Line, Number, Slug, Truth, Unit


class SurveyField(Model):
    """One thing to write down: a quantity with its unit, a choice, a feature of the equipment, or plain words."""

    title: Line
    group: Line = Field(description="The heading it stands under")
    where: Line = Field(description="Where it is read")
    unit: Unit | None = Field(None, description="Unit of a quantity; none for words and features")
    least: Number | None = None
    most: Number | None = None
    choices: Mapping[Line, Number] = Field({}, description="Where only these can be: words and the number they mean")
    feature: FeatureId | None = Field(None, description="The feature of the equipment that it settles")
    words: Truth = Field(False, description="yes: plain words, nothing is reckoned with them")
    fills: tuple[Line, ...] = Field((), description="Inputs of worksheets that it fills: worksheet.input")


class SurveyCheck(Model):
    """A result of a worksheet, filled from the survey, that must lie in a range."""

    title: Line
    worksheet: WorksheetId
    result: Slug
    fits: Limits = Field(description="[low, high) in the result's unit")
    amiss: Line = Field(description="What it means where it does not fit")
    faults: tuple[FaultId, ...] = Field((), description="Faults to look at then")


class Survey(Card):
    """One record of an installation, taken at leisure."""

    kind = "survey"
    folder = "surveys"

    asks: Mapping[Slug, SurveyField] = Field({}, description="What is written down, in order")
    radiation: Slug = Field(description="The field that the counted radiators add up to")
    checks: Mapping[Slug, SurveyCheck] = {}
    cautions: tuple[CautionId, ...] = ()
