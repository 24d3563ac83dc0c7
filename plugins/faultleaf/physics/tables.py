"""Tables from handbooks: what a pipe's nominal size stands for. Each names its source and whether it was read."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final


class NotInTable(ValueError):
    """A size that a table does not have; the sentence names those that it has."""


@dataclass(frozen=True)
class Table:
    """Values by nominal pipe size (inches), in `unit`."""

    title: str
    unit: str
    source: str
    values: Mapping[float, float]


def _table(title: str, unit: str, source: str, values: dict[float, float]) -> Table:
    return Table(title, unit, source, MappingProxyType(values))


_GUIDE: Final = "ASHVE Guide 1955, chapter 21, Table 5 (read)"
_PIPE: Final = "ASME B36.10M, schedule 40 (from memory)"
TABLES: Final[Mapping[str, Table]] = MappingProxyType(
    {
        "bore": _table(
            "Bore of steel pipe, schedule 40", "in", _PIPE,
            {0.5: 0.622, 0.75: 0.824, 1: 1.049, 1.25: 1.380, 1.5: 1.610, 2: 2.067, 2.5: 2.469, 3: 3.068, 4: 4.026,
             5: 5.047, 6: 6.065, 8: 7.981},
        ),
        "main-capacity": _table(
            "Supply main, condensate flowing with the steam, 1 oz per 100 ft", "EDR", _GUIDE,
            {2: 386, 2.5: 635, 3: 1160, 4: 2460},
        ),
        "main-capacity-2oz": _table(
            "The same at 2 oz per 100 ft", "EDR", _GUIDE, {2: 546, 2.5: 898, 3: 1650, 4: 3480}
        ),
        "riser-capacity": _table(
            "One-pipe up-feed riser", "EDR", _GUIDE, {1: 45, 1.25: 98, 1.5: 152, 2: 288, 2.5: 464, 3: 800}
        ),
        "valve-capacity": _table(
            "One-pipe radiator valve and its vertical connection", "EDR", _GUIDE, {1: 28, 1.25: 62, 1.5: 93, 2: 169}
        ),
    }
)  # fmt: skip


def look_up(name: str, size: float) -> float:
    """The value, in the table's unit, of a nominal size in inches; NotInTable for another size.

    >>> look_up("bore", 2.0)
    2.067
    """
    for known, value in TABLES[name].values.items():
        if math.isclose(known, size, rel_tol=1e-9):
            return value
    sizes = ", ".join(f"{known:g}" for known in TABLES[name].values)
    raise NotInTable(f"the table '{TABLES[name].title}' has the sizes {sizes} in only")


@dataclass(frozen=True)
class RadiatorRating:
    """One kind of cast-iron radiator: square feet EDR of a section by its height in inches."""

    title: str
    by_height: Mapping[float, float]


def _rating(title: str, by_height: dict[float, float]) -> RadiatorRating:
    return RadiatorRating(title, MappingProxyType(by_height))


RADIATOR_SOURCE: Final = (
    "ASHVE Guide, ratings of large-column and tube radiators, square feet per section (from memory)"
)
RADIATOR_RATINGS: Final[Mapping[str, RadiatorRating]] = MappingProxyType(
    {
        "column-1": _rating("One column", {20: 1.5, 23: 5 / 3, 26: 2, 32: 2.5, 38: 3}),
        "column-2": _rating("Two columns", {20: 2, 23: 7 / 3, 26: 8 / 3, 32: 10 / 3, 38: 4, 45: 5}),
        "column-3": _rating("Three columns", {18: 2.25, 22: 3, 26: 3.75, 32: 4.5, 38: 5, 45: 6}),
        "column-4": _rating("Four columns", {18: 3, 22: 4, 26: 5, 32: 6.5, 38: 8, 45: 10}),
        "tube-3": _rating("Three tubes", {20: 1.75, 23: 2, 26: 7 / 3, 30: 3, 36: 3.5}),
        "tube-4": _rating("Four tubes", {20: 2.25, 23: 2.5, 26: 2.75, 32: 3.5, 37: 4.25}),
        "tube-5": _rating("Five tubes", {20: 8 / 3, 23: 3, 26: 3.5, 32: 13 / 3, 37: 5}),
        "tube-6": _rating("Six tubes", {20: 3, 23: 3.5, 26: 4, 32: 5, 37: 6}),
    }
)
