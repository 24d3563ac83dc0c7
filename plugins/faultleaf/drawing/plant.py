"""The plant as data: six panes, and the parts in the order in which they are read.

The heights that matter (about 6.6 units to an inch): the header stands 24 in. or more above the water line (makers'
sheets; from memory), the return joins the equalizer 2 to 4 in. below it, every pipe that drains is lower than that.
One-pipe and two-pipe, gravity and pumped return, feeder and hand fill stand side by side to be learnt.
"""

from typing import Final

from faultleaf.drawing.boiler import BOILER
from faultleaf.drawing.cellar import CELLAR
from faultleaf.drawing.scene import Pane, Scene
from faultleaf.drawing.shapes import Box
from faultleaf.drawing.upstairs import UPSTAIRS

PANES: Final = (
    Pane("boiler", "The boiler", "The boiler with its glass, cutoffs, pressure control, safety valve, coil and burner.",
         Box(400, 400, 400, 585)),
    Pane("return", "Water coming home", "Equalizer, return loop, receiver, pump and check valve.",
         Box(800, 400, 400, 585)),
    Pane("feed", "Water coming in", "The ways in which water is fed, the hot-water loop, and the wet return.",
         Box(0, 400, 400, 585)),
    Pane("one-pipe", "One pipe", "A one-pipe radiator on the steam main, and the main’s end with its vent.",
         Box(0, 30, 400, 370)),
    Pane("circuit", "What stops the burner", "The burner’s circuit: every control in one line, any of them opens it.",
         Box(400, 30, 400, 370)),
    Pane("two-pipe", "Two pipes", "A two-pipe radiator with its trap, and the way down to the return.",
         Box(800, 30, 400, 370)),
)  # fmt: skip
"""The boiler first: on a phone they stand one below the other in this order."""

PLANT: Final = Scene(1200, 985, (*BOILER, *CELLAR, *UPSTAIRS), PANES)
