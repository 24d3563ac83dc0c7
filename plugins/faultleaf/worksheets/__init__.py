"""The trade's sums: expressions with dimensions, what a tradesman types, evaluation with its ±, the water ledger,
the survey. Pure: knows neither cards nor files."""

from faultleaf.worksheets.dimension import dimension_of
from faultleaf.worksheets.evaluate import NoResult, evaluate
from faultleaf.worksheets.expression import Expression, ExpressionError, parse_expression
from faultleaf.worksheets.sheet import Field, Outcome, Saying, Sheet, Worked, input_value, outside_range, work
from faultleaf.worksheets.shown import measured_text, number_text
from faultleaf.worksheets.typed import Measured, NotRead, read_typed

__all__ = [
    "Expression", "ExpressionError", "Field", "Measured", "NoResult", "NotRead", "Outcome", "Saying", "Sheet", "Worked",
    "dimension_of", "evaluate", "input_value", "measured_text", "number_text", "outside_range", "parse_expression",
    "read_typed", "work",
]  # fmt: skip
