"""Air pressure by height above the sea."""

from typing import Final

SEA_LEVEL: Final = 101325.0
"""Pa. Standard atmosphere."""
LAPSE: Final = 0.0065 / 288.15
"""Share of the sea-level temperature lost per metre (0.0065 K/m of 288.15 K)."""
EXPONENT: Final = 5.255880
LOWEST, HIGHEST = -500.0, 5000.0


def air_pressure(height: float) -> float:
    """Air pressure, Pa, at a height in m above the sea, from -500 to 5,000.

    Source: U.S. Standard Atmosphere 1976, lowest layer (from memory). Weather moves the real pressure by some 3 %.

    >>> round(air_pressure(1524.0))
    84307
    """
    if not LOWEST <= height <= HIGHEST:
        raise ValueError("the height lies outside -1,640 to 16,400 ft above the sea")
    return SEA_LEVEL * float((1 - LAPSE * height) ** EXPONENT)
