"""The worksheet card: a small calculation with units, its inputs, its results and what it replaces."""

from collections.abc import Mapping
from functools import cached_property

from pydantic import Field

from faultleaf.cards.base import Model, Numbered
from faultleaf.cards.names import CautionId
from faultleaf.cards.values import Count, Limits, Line, Number, Slug, Sum, Unit
from faultleaf.worksheets import Field as SheetField
from faultleaf.worksheets import Measured, Outcome, Saying, Sheet, input_value


class WorksheetInput(Model):
    """What is put into a worksheet: a quantity with its unit, and where it is read."""

    title: Line
    unit: Unit
    where: Line = Field(description="Where and how to read it")
    least: Number | None = Field(None, description="Below it a reading is not sensible")
    most: Number | None = Field(None, description="Above it a reading is not sensible")
    usual: Line | None = Field(None, description="What stands there at first, with its ± where it is rough")
    choices: Mapping[Line, Number] = Field({}, description="Where only these can be: words and the number they mean")


class WorksheetResult(Model):
    """What comes out of a worksheet."""

    title: Line
    unit: Unit
    sum: Sum = Field(description="An expression over the inputs and the results before it")
    digits: Count = Field(3, description="How many digits count where no ± is known")
    says: Mapping[Line, Limits] = Field({}, description="What a result in [low, high) means")


class Replaced(Model):
    """The rule of thumb that a worksheet replaces."""

    rule: Line
    off: Line = Field(description="How far off it is, and when")


class Example(Model):
    """A worked example, worked again whenever the cards are read."""

    given: Mapping[Slug, Line] = {}
    gives: Mapping[Slug, Line] = Field(min_length=1, description="Results, each with the ± that it must be met to")


class Worksheet(Numbered):
    """A small calculation with units."""

    kind = "worksheet"
    folder = "worksheets"

    answers: Line = Field(description="The question it answers")
    group: Line = Field("Other sums", description="The heading it stands under in the list")
    inputs: Mapping[Slug, WorksheetInput] = Field(min_length=1, description="What is put in")
    results: Mapping[Slug, WorksheetResult] = Field(min_length=1, description="What comes out, in order")
    replaces: Replaced | None = None
    examples: tuple[Example, ...] = ()
    cautions: tuple[CautionId, ...] = ()

    @cached_property
    def sheet(self) -> Sheet:
        """The worksheet without its words, ready to be worked."""
        return Sheet(
            {
                name: SheetField(each.title, each.unit, each.least, each.most, dict(each.choices))
                for name, each in self.inputs.items()
            },
            {
                name: Outcome(
                    each.title, each.unit, each.sum.tree, each.digits,
                    tuple(Saying(low, high, words) for words, (low, high) in each.says.items()),
                )
                for name, each in self.results.items()
            },
        )  # fmt: skip

    def values_with(self, given: Mapping[str, str]) -> dict[str, Measured]:
        """What stands in the fields: what is given, else what is usual, else nothing; raises NotRead."""
        texts = {name: given.get(name, each.usual) for name, each in self.inputs.items()}
        return {name: input_value(self.sheet.inputs[name], text) for name, text in texts.items() if text}
