"""The units of the trade, each defined once in pint's words; factors to SI and dimensions come from pint.

Two things are no lengths or areas here, so that a sum which mixes them up is refused: EDR (square feet of
radiation, a rating and no surface) and drops. Money is a dimension too.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from pint import UnitRegistry

Dimension = Any
"""pint's dimensionality: a hashable container that can be multiplied, divided and raised."""

_DEFINED: Final[Mapping[str, tuple[str, str]]] = MappingProxyType(
    {
        "ohm": ("ohm", "Ω"), "V": ("volt", "V"), "A": ("ampere", "A"),
        "psi": ("psi", "psi"), "oz/in2": ("force_ounce / inch ** 2", "oz/in²"), "inWC": ("inch_of_water", "in WC"),
        "kPa": ("kPa", "kPa"), "mbar": ("mbar", "mbar"), "inHg": ("inch_of_mercury", "in Hg"),
        "degF": ("degF", "°F"), "degC": ("degC", "°C"),
        "degF difference": ("delta_degF", "°F difference"), "degC difference": ("delta_degC", "°C difference"),
        "in": ("inch", "in"), "mm": ("mm", "mm"), "ft": ("foot", "ft"), "m": ("m", "m"), "cm": ("cm", "cm"),
        "gal": ("gallon", "gal"), "L": ("liter", "L"), "mL": ("mL", "mL"), "ft3": ("foot ** 3", "ft³"),
        "gal/h": ("gallon / hour", "gal/h"), "gal/day": ("gallon / day", "gal/day"), "L/h": ("liter / hour", "L/h"),
        "gpm": ("gallon / minute", "gal/min"), "L/min": ("liter / minute", "L/min"),
        "ft3/min": ("foot ** 3 / minute", "ft³/min"), "L/s": ("liter / second", "L/s"),
        "ft3/h": ("foot ** 3 / hour", "ft³/h"), "m3/h": ("m ** 3 / hour", "m³/h"),
        "gal/in": ("gallon / inch", "gal/in"), "L/cm": ("liter / cm", "L/cm"),
        "min": ("minute", "min"), "s": ("second", "s"), "h": ("hour", "h"), "days": ("day", "days"),
        "pH": ("dimensionless", "pH"), "uS/cm": ("microsiemens / cm", "µS/cm"), "1/cm": ("1 / cm", "1/cm"),
        "gpg": ("grain / gallon", "gpg"), "mg/L": ("mg / liter", "mg/L"), "g": ("gram", "g"), "lb": ("pound", "lb"),
        "oz": ("ounce", "oz"), "kg": ("kg", "kg"), "lb/h": ("pound / hour", "lb/h"), "kg/h": ("kg / hour", "kg/h"),
        "lb/gal": ("pound / gallon", "lb/gal"), "lb/ft3": ("pound / foot ** 3", "lb/ft³"),
        "kg/m3": ("kg / m ** 3", "kg/m³"),
        "BTU": ("BTU", "BTU"), "kWh": ("kWh", "kWh"), "MJ": ("MJ", "MJ"),
        "BTU/h": ("BTU / hour", "BTU/h"), "kW": ("kW", "kW"),
        "BTU/lb": ("BTU / pound", "BTU/lb"), "kJ/kg": ("kJ / kg", "kJ/kg"),
        "BTU/ft3": ("BTU / foot ** 3", "BTU/ft³"), "MJ/m3": ("MJ / m ** 3", "MJ/m³"),
        "BTU/gal": ("BTU / gallon", "BTU/gal"), "MJ/L": ("MJ / liter", "MJ/L"),
        "BTU/lb/degF": ("BTU / pound / delta_degF", "BTU/lb/°F"), "kJ/kg/K": ("kJ / kg / delta_degC", "kJ/kg/K"),
        "BTU/h/ft/degF": ("BTU / hour / foot / delta_degF", "BTU/h/ft/°F"),
        "W/m/K": ("W / m / delta_degC", "W/m/K"),
        "BTU/h/ft2/degF": ("BTU / hour / foot ** 2 / delta_degF", "BTU/h/ft²/°F"),
        "W/m2/K": ("W / m ** 2 / delta_degC", "W/m²/K"),
        "ft2": ("foot ** 2", "ft²"), "m2": ("m ** 2", "m²"), "in2": ("inch ** 2", "in²"),
        "EDR": ("EDR", "ft² EDR"), "BTU/h/EDR": ("BTU / hour / EDR", "BTU/h per ft² EDR"),
        "lb/h/EDR": ("pound / hour / EDR", "lb/h per ft² EDR"), "kg/h/EDR": ("kg / hour / EDR", "kg/h per ft² EDR"),
        "ft/s": ("foot / second", "ft/s"), "m/s": ("m / s", "m/s"), "ft/min": ("foot / minute", "ft/min"),
        "ft/s2": ("foot / second ** 2", "ft/s²"), "m/s2": ("m / second ** 2", "m/s²"),
        "ft3/lb": ("foot ** 3 / pound", "ft³/lb"), "m3/kg": ("m ** 3 / kg", "m³/kg"),
        "in/psi": ("inch / psi", "in/psi"), "cm/kPa": ("cm / kPa", "cm/kPa"),
        "in/h": ("inch / hour", "in/h"), "cm/h": ("cm / hour", "cm/h"),
        "drops": ("drop", "drops"), "drops/min": ("drop / minute", "drops/min"), "drops/mL": ("drop / mL", "drops/mL"),
        "percent": ("percent", "%"), "count": ("dimensionless", ""), "times": ("dimensionless", "times"),
        "times/day": ("1 / day", "times/day"), "times/month": ("12 / year", "times/month"),
        "$": ("dollar", "$"), "$/gal": ("dollar / gallon", "$/gal"), "$/L": ("dollar / liter", "$/L"),
        "$/day": ("dollar / day", "$/day"), "$/month": ("12 * dollar / year", "$/month"),
        "$/year": ("dollar / year", "$/year"), "$/therm": ("dollar / US_therm", "$/therm"),
        "$/kWh": ("dollar / kWh", "$/kWh"),
    }
)  # fmt: skip
UNIT_NAMES: Final = tuple(_DEFINED)

_FAMILIES: Final = (
    ("in", "ft", "mm", "cm", "m"), ("psi", "oz/in2", "inWC", "kPa", "mbar", "inHg"), ("degF", "degC"),
    ("degF difference", "degC difference"), ("gal", "L", "mL", "ft3"),
    ("gal/h", "gal/day", "gpm", "L/h", "L/min"), ("ft3/min", "L/s", "ft3/h", "m3/h"), ("gal/in", "L/cm"),
    ("min", "s", "h", "days"), ("gpg", "mg/L"), ("lb", "oz", "kg", "g"), ("lb/h", "kg/h"),
    ("lb/gal", "lb/ft3", "kg/m3"),
    ("BTU", "kWh", "MJ"), ("BTU/h", "kW"), ("BTU/lb", "kJ/kg"), ("BTU/ft3", "MJ/m3"), ("BTU/gal", "MJ/L"),
    ("BTU/lb/degF", "kJ/kg/K"), ("BTU/h/ft/degF", "W/m/K"), ("BTU/h/ft2/degF", "W/m2/K"), ("ft2", "m2", "in2"),
    ("lb/h/EDR", "kg/h/EDR"), ("ft/s", "m/s", "ft/min"), ("ft3/lb", "m3/kg"), ("in/psi", "cm/kPa"),
    ("ft/s2", "m/s2"),
    ("in/h", "cm/h"), ("times/day", "times/month"), ("$/gal", "$/L"), ("$/day", "$/month", "$/year"),
    ("$/therm", "$/kWh"),
)  # fmt: skip
"""Units that one field can be switched between, US customary first."""

_WORDS: Final = {
    "in": "a length", "psi": "a pressure", "degF": "a temperature", "gal": "a volume", "gpm": "a flow",
    "gal/in": "an area or a volume per length", "min": "a time", "lb": "a mass", "lb/h": "a flow of mass",
    "lb/gal": "a mass per volume", "BTU": "an energy", "BTU/h": "a rate of heat", "BTU/lb": "an energy per mass",
    "EDR": "EDR", "ft/s": "a speed", "drops": "drops", "count": "a plain number", "$": "money",
    "ohm": "a resistance", "V": "a voltage", "A": "a current", "uS/cm": "a conductivity", "1/cm": "a cell constant",
    "ft3/lb": "a volume per mass", "times/day": "a number per time",
}  # fmt: skip


_OUR_OWN: Final = (
    "EDR = [radiation]", "drop = [drops]", "dollar = [money]",
    "inch_of_water = 249.08891 * pascal", "inch_of_mercury = 3386.389 * pascal",  # NIST SP 811, conventional values
)  # fmt: skip


@dataclass(frozen=True)
class Unit:
    """A unit: `SI value = value * factor + offset`, and how it is written for people."""

    name: str
    label: str
    factor: float
    offset: float

    def to_si(self, value: float) -> float:
        """The value in SI base units (a temperature in kelvin).

        >>> round(unit_named("degF").to_si(212), 2)
        373.15
        """
        return value * self.factor + self.offset

    def from_si(self, value: float) -> float:
        """An SI value in this unit."""
        return (value - self.offset) / self.factor

    @property
    def dimension(self) -> Dimension:
        """What pint says this unit measures."""
        return _one(self.name).dimensionality


@cache
def _registry() -> "UnitRegistry[Any]":
    from pint import UnitRegistry  # noqa: PLC0415  # half a second that a command without sums need not wait for

    registry: UnitRegistry[Any] = UnitRegistry()
    for definition in _OUR_OWN:
        registry.define(definition)
    return registry


@cache
def _one(name: str) -> Any:
    """One of this unit, as pint's quantity; a temperature is a point on its scale."""
    expression, registry = _DEFINED[name][0], _registry()
    is_scale = expression in ("degF", "degC")
    return (
        registry.Quantity(1, expression) if is_scale else registry.Quantity(1) * registry.parse_expression(expression)
    )


@cache
def unit_named(name: str) -> Unit:
    """The unit of this name; KeyError for a name that `UNIT_NAMES` does not have."""
    expression, label = _DEFINED[name]
    if expression in ("degF", "degC"):  # a point on a scale: a degree's size, and where the scale begins
        zero = float(_registry().Quantity(0, expression).to_base_units().magnitude)
        return Unit(name, label, unit_named(f"{name} difference").factor, _cut(zero))
    return Unit(name, label, _cut(float(_one(name).to_base_units().magnitude)), 0.0)


def _cut(value: float) -> float:
    """Without the last digit, in which pint's products are off."""
    return float(f"{value:.15g}")


def alternatives(name: str) -> tuple[str, ...]:
    """The units that a field in this unit can be switched to, itself among them.

    >>> alternatives("degC")
    ('degF', 'degC')
    """
    return next((family for family in _FAMILIES if name in family), (name,))


def dimension_words(dimension: Dimension) -> str:
    """A dimension as the trade would say it.

    >>> dimension_words(unit_named("L").dimension)
    'a volume'
    """
    found = next((words for name, words in _WORDS.items() if unit_named(name).dimension == dimension), None)
    return found or f"a quantity of {str(dimension).replace('[', '').replace(']', '').replace(' ** ', '^')}"
