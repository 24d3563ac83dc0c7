"""Units, water and steam, air, and tables from handbooks: SI in, SI out. Knows nothing of cards or files."""

from faultleaf.physics.air import air_pressure
from faultleaf.physics.tables import RADIATOR_RATINGS, TABLES, NotInTable, RadiatorRating, Table, look_up
from faultleaf.physics.units import UNIT_NAMES, Dimension, Unit, alternatives, dimension_words, unit_named

__all__ = [
    "RADIATOR_RATINGS", "TABLES", "UNIT_NAMES", "Dimension", "NotInTable", "RadiatorRating", "Table", "Unit",
    "air_pressure", "alternatives", "dimension_words", "look_up", "unit_named",
]  # fmt: skip
