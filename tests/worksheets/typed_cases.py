"""What tradesmen type, shared by the tests of both languages: text, unit, range, and the value or None."""

from typing import NamedTuple


class Typed(NamedTuple):
    """One thing typed; `value` and `give` in `unit`, None where it must be refused with `reason` in the words."""

    text: str
    unit: str
    value: float | None
    give: float = 0.0
    reason: str = ""
    least: float | None = None
    most: float | None = None


CASES = (
    Typed("1 1/4", "in", 1.25), Typed("1-1/4", "in", 1.25), Typed("1 - 1/4", "in", 1.25), Typed("¾", "in", 0.75),
    Typed("1¾", "in", 1.75), Typed("1 ½ in", "in", 1.5), Typed("7/8", "in", 0.875), Typed('6"', "in", 6),
    Typed("6'", "in", 72), Typed("3 oz", "psi", 3 / 16), Typed("3 ounces", "psi", 3 / 16), Typed("2 lb", "psi", 2),
    Typed("2 psig", "psi", 2), Typed("3 oz/in2", "oz/in2", 3), Typed("3 oz", "lb", 3 / 16), Typed("1,5", "in", 1.5),
    Typed("0,75", "in", 0.75), Typed(".5", "psi", 0.5), Typed("5.", "psi", 5), Typed("5,", "psi", 5),
    Typed("125,000", "BTU/h", 125000, least=20000, most=500000), Typed("1,250,000", "BTU/h", 1250000),
    Typed("1,250", "ft2", 1.25, least=0, most=10), Typed("1,250", "ft2", None, reason="may mean 1250 or 1.25"),
    Typed("1,250.5", "ft2", 1250.5), Typed("12,5,1", "in", None, reason="cannot be read"),
    Typed("-3", "degF", -3), Typed("−3", "degF", -3), Typed("70 F", "degF", 70), Typed("21 °C", "degF", 69.8),
    Typed("100 C", "degC", 100), Typed("7 ± 1/2", "in", 7, 0.5), Typed("7 +/- 1/2", "in", 7, 0.5),
    Typed("7 ± 1/2 ft", "in", 84, 6), Typed("7 in ± 1 mm", "in", 7, 1 / 25.4), Typed("20 °C ± 1", "degF", 68, 1.8),
    Typed("  2   3/8  ", "in", 2.375), Typed("90 min", "h", 1.5), Typed("2 hrs", "h", 2), Typed("5 gph", "gal/h", 5),
    Typed("", "in", None, reason="nothing is filled in"), Typed("   ", "in", None, reason="nothing is filled in"),
    Typed("about 3", "in", None, reason="cannot be read"), Typed("1/0", "in", None, reason="0 below its line"),
    Typed("1 2", "in", None, reason="cannot be read"), Typed("1..2", "in", None, reason="cannot be read"),
    Typed("1e5", "in", None, reason="not a unit"), Typed("NaN", "in", None, reason="cannot be read"),
    Typed("Infinity", "in", None, reason="cannot be read"), Typed("9" * 14, "in", None, reason="too large"),
    Typed("9" * 70, "in", None, reason="too long"), Typed("3 gal", "in", None, reason="not a unit for this"),
    Typed("3 ±", "in", None, reason="missing after"), Typed("3 ± -1", "in", None, reason="cannot be negative"),
    Typed("± 1", "in", None, reason="cannot be read"), Typed("<b>3</b>", "in", None, reason="cannot be read"),
    Typed("3 ± 1 ± 2", "in", None, reason="cannot be read"), Typed("--3", "in", None, reason="cannot be read"),
    Typed("٣", "in", None, reason="cannot be read"), Typed("3 1/2 1/2", "in", None, reason="cannot be read"),
)  # fmt: skip
