"""The heights that the halves of the plant share (units from the top)."""

from typing import Final

SLAB: Final = 236.0  # floor of the rooms
MAIN: Final = 316.0  # middle of the steam mains below it
HEADER: Final = 462.0
WATER: Final = 706.0  # the boiler's water line
LOOP: Final = 724.0  # where the return joins the equalizer
FLOOR: Final = 962.0  # of the cellar
RETURN: Final = 944.0  # middle of the wet return that lies on it
