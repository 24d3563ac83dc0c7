"""The practice sheet: a small chart of something that everybody knows, to be read once before a call."""

from __future__ import annotations

from typing import Final

from faultleaf.layout import Chart, ChartBox, ChartExit

TASKS: Final = (
    "The lamp stays dark; the cells are new and the right way round. Which boxes do you come through, and where "
    "does the call end? (1, 2, then 4.)",
    "You turned the cells round and the lamp shines. What now? (Cured: the call ends at box 3.)",
    "What does the circle after “no” behind box 3 tell you? (Not cured: go on at box 4.)",
)


def practice_chart() -> Chart:
    """A flashlight that gives no light; invented, and without any hazard."""
    boxes = (
        ChartBox("look", 1, "decision", "Press the switch twice", "Does the lamp shine?", note="1 min O",
                 exits=(ChartExit("It stays dark", "cells", 0.9), ChartExit("It shines", None, 0.1))),
        ChartBox("cells", 2, "decision", "Open the flashlight", "How do the cells lie?", note="1 min O",
                 how="Compare them with the drawing inside the lid.",
                 exits=(ChartExit("One is the wrong way round", "turn", 0.5),
                        ChartExit("As drawn, and new", "lamp", 0.5))),
        ChartBox("turn", 3, "process", "Turn the cell round", note="1 min O", is_repair=True,
                 exits=(ChartExit("Cured", None, 0.9), ChartExit("Still there", "lamp", 0.1))),
        ChartBox("lamp", 4, "terminal", "Hand on: ask for another flashlight", reach=0.5),
    )  # fmt: skip
    return Chart("How to read a chart", "Practice: a flashlight gives no light", boxes, "look")
