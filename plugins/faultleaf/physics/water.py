"""Water and steam by IAPWS-IF97 (IAPWS R7-97(2012)), from the library `iapws`; SI base units throughout.

The library's own steps for the saturation line and regions 1 and 2 are called, because its object for a state
works out some forty properties where a sum wants one.
"""

from functools import cache
from typing import Any, Final

from faultleaf.physics.air import SEA_LEVEL

COLDEST, HOTTEST = 273.16, 473.15
"""K. From the triple point to 200 degC: past any low-pressure boiler, and well inside regions 1 and 2."""
GRAVITY: Final = 9.80665
"""m/s2, the standard value (CGPM 1901)."""


@cache
def _library() -> Any:
    import iapws.iapws97 as library  # noqa: PLC0415  # over a second that a command without sums need not wait for

    return library


def saturation_pressure(temperature: float) -> float:
    """Pressure, Pa, at which water of this temperature, K, boils (Eq 30)."""
    return float(_library()._PSat_T(_in_range(temperature))) * 1e6


def boiling_point(pressure: float) -> float:
    """Temperature, K, at which water boils at this absolute pressure, Pa (Eq 31).

    >>> round(boiling_point(101325.0), 2)
    373.12
    """
    return float(_library()._TSat_P(_boiling(pressure) / 1e6))


def latent_heat(pressure: float) -> float:
    """Heat, J/kg, that turns boiling water into dry steam at this absolute pressure, Pa."""
    return steam_heat(pressure) - boiling_water_heat(pressure)


def boiling_water_heat(pressure: float) -> float:
    """Enthalpy of boiling water, J/kg, at this absolute pressure, Pa (region 1)."""
    return float(_library()._Region1(boiling_point(pressure), pressure / 1e6)["h"]) * 1e3


def steam_heat(pressure: float) -> float:
    """Enthalpy of dry saturated steam, J/kg, at this absolute pressure, Pa (region 2)."""
    return float(_library()._Region2(boiling_point(pressure), pressure / 1e6)["h"]) * 1e3


def steam_volume(pressure: float) -> float:
    """Volume of dry saturated steam, m3/kg, at this absolute pressure, Pa (region 2)."""
    return float(_library()._Region2(boiling_point(pressure), pressure / 1e6)["v"])


def water_density(temperature: float) -> float:
    """Density of liquid water, kg/m3, at this temperature, K, under air or its own steam, whichever presses more."""
    return 1 / float(_liquid(temperature)["v"])


def water_heat(temperature: float) -> float:
    """Enthalpy of liquid water, J/kg, at this temperature, K, under the same pressure as `water_density`."""
    return float(_liquid(temperature)["h"]) * 1e3


def _liquid(temperature: float) -> Any:
    pressure = max(SEA_LEVEL, saturation_pressure(temperature))
    return _library()._Region1(temperature, pressure / 1e6)


def _in_range(temperature: float) -> float:
    if not COLDEST <= temperature <= HOTTEST:
        raise ValueError("the temperature lies outside 32 to 392 °F, where the water here is liquid")
    return temperature


def _boiling(pressure: float) -> float:
    if not 611.657 <= pressure <= 1.5549e6:
        raise ValueError("the absolute pressure lies outside 0.09 to 225 psi")
    return pressure
