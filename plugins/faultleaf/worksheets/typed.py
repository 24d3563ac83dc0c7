"""What a tradesman types → a value with its ±, or the reason why it cannot be read.

"1 1/4", "1-1/4", "¾", "3 oz", "125,000", "1,5", "7 ± 1/2 in". assets/js/worksheets/typed.js does the same.
"""

import math
import re
from dataclasses import dataclass
from typing import Final

from faultleaf.physics import alternatives, unit_named

LONGEST: Final = 60
FRACTIONS: Final = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip
SPOKEN: Final = {
    '"': "in", "″": "in", "inch": "in", "inches": "in", "'": "ft", "feet": "ft", "foot": "ft",
    "oz": "oz/in2", "ozs": "oz/in2", "ounces": "oz/in2", "lbs": "lb", "pounds": "lb", "#": "lb", "psig": "psi",
    "°f": "degF", "f": "degF", "°c": "degC", "c": "degC", "gals": "gal", "gallon": "gal", "gallons": "gal",
    "mins": "min", "minutes": "min", "hr": "h", "hrs": "h", "hours": "h", "hour": "h", "day": "days", "d": "days",
    "sec": "s", "seconds": "s", "%": "percent", "ohms": "ohm", "Ω": "ohm", "btuh": "BTU/h", "gph": "gal/h",
    "edr": "EDR", "sq ft": "ft2", "sqft": "ft2", "us/cm": "uS/cm", "µs/cm": "uS/cm", "ppm": "mg/L", "fps": "ft/s",
    "liters": "L", "litres": "L", "l": "L",
}  # fmt: skip
"""What people write for a unit. "oz" of a mass, and "psi" said as "lb", are settled by what the field measures."""
_NUMBER: Final = r"(?:\d+[- ]+\d+/\d+|\d+/\d+|\d*[.,]?\d+(?:,\d{3})*(?:\.\d+)?|\d+[.,])"
_WHOLE: Final = re.compile(rf"(?P<sign>[-−]?)\s*(?P<number>{_NUMBER})\s*(?P<unit>(?:[^\d\s.,±][^±]*)?)", re.ASCII)
_GROUPS: Final = re.compile(r"[1-9]\d{0,2}(,\d{3})+(\.\d+)?")
_FRACTION: Final = re.compile(r"(?:(\d+)[- ]+)?(\d+)/(\d+)")
_LARGEST: Final = 1e12


class NotRead(ValueError):
    """Why what was typed cannot be read, as a sentence without its full stop."""


@dataclass(frozen=True)
class Measured:
    """A value in SI base units, and how far it may be off either way (its ±, SI, 0 where none was said)."""

    value: float
    give: float = 0.0


def read_typed(text: str, unit: str, least: float | None = None, most: float | None = None, give: str = "") -> Measured:
    """The value, meant in `unit` unless the text says another; raises NotRead.

    `least` and `most` (in `unit`) only settle whether "1,250" is 1250 or 1.25. `give` is the ± where it stands apart.

    >>> read_typed("2", "in").value
    0.0508
    """
    clean = " ".join(text.translate({ord(mark): f" {spelt}" for mark, spelt in FRACTIONS.items()}).split())
    if not clean:
        raise NotRead("nothing is filled in")
    if len(clean) > LONGEST:
        raise NotRead("this is too long for a number")
    value_text, has_give, give_inside = re.sub(r"\+/?-", "±", clean).partition("±")
    if has_give and not give_inside.strip():
        raise NotRead("how far it may be off is missing after the ±")
    value, used, named = _read(value_text.strip(), unit, least, most)
    given = give_inside.strip() or " ".join(give.translate({ord(m): f" {s}" for m, s in FRACTIONS.items()}).split())
    if not given:
        return Measured(unit_named(used).to_si(value))
    off, off_unit, off_named = _read(given.lstrip("±").strip(), used, None, None)
    if off < 0:
        raise NotRead("the ± cannot be negative")
    if off_named and not named and has_give:  # "7 ± 1/2 in": the unit stands at the end and means both
        used = off_unit
    return Measured(unit_named(used).to_si(value), off * unit_named(off_unit).factor)


def _read(text: str, unit: str, least: float | None, most: float | None) -> tuple[float, str, bool]:
    match = _WHOLE.fullmatch(text)
    if match is None:
        raise NotRead(f"'{text}' cannot be read as a number")
    used = _unit_of(match["unit"].strip(), unit)
    value = _number(match["number"], *((least, most) if used == unit else (None, None)))
    if not math.isfinite(value) or value > _LARGEST:
        raise NotRead("the number is too large")
    return -value if match["sign"] else value, used, bool(match["unit"].strip())


def _unit_of(said: str, unit: str) -> str:
    """The unit that is meant: the field's own, or another that measures the same."""
    if not said:
        return unit
    known = alternatives(unit)
    for name in (said, SPOKEN.get(said, ""), SPOKEN.get(said.lower(), ""), said.lower()):
        if name in known:
            return name
    labels = {unit_named(name).label.lower(): name for name in known}
    if said.lower() in labels:
        return labels[said.lower()]
    if said.lower() in ("oz", "ozs", "ounces") and "oz" in known:
        return "oz"
    if said.lower() in ("lb", "lbs", "pounds", "#") and "psi" in known:
        return "psi"
    choice = ", ".join(unit_named(name).label for name in known)
    raise NotRead(f"'{said}' is not a unit for this; {choice} can be read")


def _number(text: str, least: float | None, most: float | None) -> float:
    if fraction := _FRACTION.fullmatch(text):
        if int(fraction[3]) == 0:
            raise NotRead("a fraction cannot have 0 below its line")
        return int(fraction[1] or 0) + int(fraction[2]) / int(fraction[3])
    if "," not in text:
        return float(text)
    if _GROUPS.fullmatch(text):
        return _grouped(text, least, most)
    if text.count(",") == 1 and "." not in text:
        return float(text.replace(",", "."))
    raise NotRead(f"'{text}' cannot be read as a number")


def _grouped(text: str, least: float | None, most: float | None) -> float:
    """1,250: a thousand and more in US print, a little over one elsewhere. The field's range decides, or nobody."""
    thousands = float(text.replace(",", ""))
    if text.count(",") > 1 or "." in text:
        return thousands
    decimal = float(text.replace(",", "."))
    fits = [each for each in (thousands, decimal) if _inside(each, least, most)]
    if len(fits) == 1 and (least is not None or most is not None):
        return fits[0]
    raise NotRead(f"'{text}' may mean {thousands:g} or {decimal:g}; write it without the comma, or with a point")


def _inside(value: float, least: float | None, most: float | None) -> bool:
    return (least is None or value >= least) and (most is None or value <= most)
