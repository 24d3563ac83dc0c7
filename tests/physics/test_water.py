"""Water and steam against the release's own verification tables, and against IAPWS-95."""

from collections.abc import Callable

import pytest
from CoolProp.CoolProp import PropsSI
from faultleaf.physics import air_pressure, unit_named, water

PSI, BTU_LB, FT3_LB = (unit_named(name).factor for name in ("psi", "BTU/lb", "ft3/lb"))
ATMOSPHERE = 14.696


def test_saturation_line_as_the_release_prints_it() -> None:
    """IAPWS R7-97(2012), Table 35 and the part of Table 36 in our range (from memory, and from the library's text)."""
    assert water.boiling_point(0.1e6) == pytest.approx(372.755919, abs=1e-6)
    assert water.boiling_point(1e6) == pytest.approx(453.035632, abs=1e-6)
    assert water.saturation_pressure(300) == pytest.approx(3536.58941, rel=1e-8)


@pytest.mark.parametrize("temperature", range(275, 472, 7))
def test_against_iapws_95(temperature: int) -> None:
    """IAPWS-95 by CoolProp: another formulation, which IF97 follows within its own stated tolerance."""
    pressure = water.saturation_pressure(temperature)
    assert pressure == pytest.approx(PropsSI("P", "T", temperature, "Q", 0, "Water"), rel=5e-4)
    assert water.boiling_point(pressure) == pytest.approx(temperature, abs=1e-4)
    steam, boiling = (PropsSI("H", "P", pressure, "Q", quality, "Water") for quality in (1, 0))
    assert water.latent_heat(pressure) == pytest.approx(steam - boiling, rel=2e-4)
    volume = 1 / PropsSI("D", "P", pressure, "Q", 1, "Water")
    assert water.steam_volume(pressure) == pytest.approx(volume, rel=5e-4)
    name, at = ("P", 101325.0) if pressure < 101325 else ("Q", 0.0)
    liquid = PropsSI("D", "T", temperature, name, at, "Water")
    assert water.water_density(temperature) == pytest.approx(liquid, rel=3e-5)


def test_what_no_boiler_of_ours_reaches_is_refused_in_words() -> None:
    cases: list[tuple[Callable[[float], float], float]] = [
        (water.water_density, 270.0), (water.boiling_point, -1.0), (water.latent_heat, 2e7),
        (water.saturation_pressure, float("nan")), (air_pressure, 9000.0),
    ]  # fmt: skip
    for function, value in cases:
        with pytest.raises(ValueError, match="lies outside"):
            function(value)


def test_air_is_thinner_up_there() -> None:
    """84.31 kPa near 5,000 ft (U.S. Standard Atmosphere 1976, from memory)."""
    assert air_pressure(0.0) == 101325.0
    assert air_pressure(5000 * 0.3048) == pytest.approx(84310, abs=10)
