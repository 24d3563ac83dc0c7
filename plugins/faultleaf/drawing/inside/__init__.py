"""Parts cut open, by where they are met: generic shapes that show how each works and where it fails."""

from typing import Final

from faultleaf.drawing.inside.controls import CONTROLS
from faultleaf.drawing.inside.feeding import FEEDING
from faultleaf.drawing.inside.glass import GLASS
from faultleaf.drawing.inside.returns import RETURNS
from faultleaf.drawing.inside.rooms import ROOMS
from faultleaf.drawing.scene import Cutaway

CUTAWAYS: Final[tuple[Cutaway, ...]] = (*GLASS, *CONTROLS, *FEEDING, *RETURNS, *ROOMS)
