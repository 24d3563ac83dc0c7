"""Water and steam by IAPWS-IF97 (IAPWS R7-97(2012)), from the library `seuif97`; SI base units throughout.

The library takes MPa and degC and answers in kJ/kg; its numbers of properties and of pairs are its own.
"""

from typing import Final

import seuif97 as library

from faultleaf.physics.air import SEA_LEVEL

COLDEST, HOTTEST = 273.16, 473.15
"""K. From the triple point to 200 degC: past any low-pressure boiler, and well inside regions 1 and 2."""
GRAVITY: Final = 9.80665
"""m/s2, the standard value (CGPM 1901)."""
FREEZING: Final = 273.15
"""K at 0 degC."""
PRESSURE, TEMPERATURE, VOLUME, ENTHALPY = 0, 1, 3, 4
"""The library's numbers of what it is asked for."""
BOILING, STEAM = 0.0, 1.0
"""Share of steam by weight."""


def saturation_pressure(temperature: float) -> float:
    """Pressure, Pa, at which water of this temperature, K, boils (Eq 30)."""
    return float(library.tx(_in_range(temperature) - FREEZING, BOILING, PRESSURE)) * 1e6


def boiling_point(pressure: float) -> float:
    """Temperature, K, at which water boils at this absolute pressure, Pa (Eq 31).

    >>> round(boiling_point(101325.0), 2)
    373.12
    """
    return _saturated(pressure, BOILING, TEMPERATURE) + FREEZING


def latent_heat(pressure: float) -> float:
    """Heat, J/kg, that turns boiling water into dry steam at this absolute pressure, Pa."""
    return steam_heat(pressure) - boiling_water_heat(pressure)


def boiling_water_heat(pressure: float) -> float:
    """Enthalpy of boiling water, J/kg, at this absolute pressure, Pa (region 1)."""
    return _saturated(pressure, BOILING, ENTHALPY) * 1e3


def steam_heat(pressure: float) -> float:
    """Enthalpy of dry saturated steam, J/kg, at this absolute pressure, Pa (region 2)."""
    return _saturated(pressure, STEAM, ENTHALPY) * 1e3


def steam_volume(pressure: float) -> float:
    """Volume of dry saturated steam, m3/kg, at this absolute pressure, Pa (region 2)."""
    return _saturated(pressure, STEAM, VOLUME)


def water_density(temperature: float) -> float:
    """Density of liquid water, kg/m3, at this temperature, K, under air or its own steam, whichever presses more."""
    return 1 / _liquid(temperature, VOLUME)


def water_heat(temperature: float) -> float:
    """Enthalpy of liquid water, J/kg, at this temperature, K, under the same pressure as `water_density`."""
    return _liquid(temperature, ENTHALPY) * 1e3


def _saturated(pressure: float, steam: float, asked: int) -> float:
    return float(library.px(_boiling(pressure) / 1e6, steam, asked))


def _liquid(temperature: float, asked: int) -> float:
    celsius = _in_range(temperature) - FREEZING
    if saturation_pressure(temperature) >= SEA_LEVEL:
        return float(library.tx(celsius, BOILING, asked))  # on the very line, where `pt` might answer for steam
    return float(library.pt(SEA_LEVEL / 1e6, celsius, asked))


def _in_range(temperature: float) -> float:
    if not COLDEST <= temperature <= HOTTEST:
        raise ValueError("the temperature lies outside 32 to 392 °F, where the water here is liquid")
    return temperature


def _boiling(pressure: float) -> float:
    if not 611.657 <= pressure <= 1.5549e6:
        raise ValueError("the absolute pressure lies outside 0.09 to 225 psi")
    return pressure
