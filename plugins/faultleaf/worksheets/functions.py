"""The functions that an expression may name: what goes in, what comes out, and who works it out.

Dimensions are given by units; "same" means that all arguments must be alike, and the result is like them.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from faultleaf.physics import TABLES, air_pressure, look_up, unit_named, water

SAME: Final = "same"
ROOT: Final = "root"


@dataclass(frozen=True)
class Function:
    """A named function. `takes`: the units of its arguments in order, or SAME; `gives`: a unit, SAME or ROOT."""

    takes: tuple[str, ...]
    gives: str
    run: Callable[..., float]
    words: str


def _from_table(name: str) -> Callable[[float], float]:
    def run(size: float) -> float:
        return unit_named(TABLES[name].unit).to_si(look_up(name, unit_named("in").from_si(size)))

    return run


FUNCTIONS: Final[Mapping[str, Function]] = MappingProxyType(
    {
        "min": Function((SAME, SAME), SAME, min, "the smaller"),
        "max": Function((SAME, SAME), SAME, max, "the larger"),
        "abs": Function((SAME,), SAME, abs, "without its sign"),
        "sqrt": Function((SAME,), ROOT, math.sqrt, "the square root"),
        "ln": Function(("count",), "count", math.log, "the natural logarithm"),
        "exp": Function(("count",), "count", math.exp, "e raised to it"),
        "round-up": Function(("count",), "count", math.ceil, "the next whole number"),
        "air-pressure": Function(("ft",), "psi", air_pressure, "air pressure at a height above the sea"),
        "boiling-point": Function(("psi",), "degF", water.boiling_point, "boiling point at an absolute pressure"),
        "saturation-pressure": Function(("degF",), "psi", water.saturation_pressure, "absolute pressure of steam"),
        "latent-heat": Function(("psi",), "BTU/lb", water.latent_heat, "latent heat at an absolute pressure"),
        "boiling-water-heat": Function(("psi",), "BTU/lb", water.boiling_water_heat, "heat of boiling water"),
        "steam-volume": Function(("psi",), "ft3/lb", water.steam_volume, "volume of dry steam"),
        "water-density": Function(("degF",), "lb/gal", water.water_density, "density of liquid water"),
        "water-heat": Function(("degF",), "BTU/lb", water.water_heat, "heat of liquid water"),
        **{
            name: Function(("in",), table.unit, _from_table(name), f"{table.title.lower()}, by nominal size")
            for name, table in TABLES.items()
        },
    }
)
