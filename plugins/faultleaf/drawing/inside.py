"""Cut-aways."""

from typing import Final

from faultleaf.drawing.scene import Cutaway

CUTAWAYS: Final[tuple[Cutaway, ...]] = ()
