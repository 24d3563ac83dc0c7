"""Labels of the cut-aways."""

from faultleaf.drawing.scene import LEADING, Anchor, Label
from faultleaf.drawing.shapes import Point


def tag(text: str, x: float, y: float, *to: Point, anchor: Anchor = "start") -> Label:
    """Words (lines parted by "|") at x and the first line's baseline y, with a line from them through the points.

    It begins beside the words, or straight above or below them where the first point lies over or under them.
    """
    lines = tuple(text.split("|"))
    if not to:
        return Label(lines, x, y, anchor)
    end_x, end_y = to[0]
    beside = {"start": (x - 4, y - 4.5), "end": (x + 4, y - 4.5), "middle": (end_x, y)}[anchor]
    if anchor == "middle" or (anchor == "start" and end_x > x):
        below = y + 6 + LEADING * (len(lines) - 1)
        beside = (end_x, y - 14 if end_y < y else below)
    if anchor == "start" and len(to) > 1 and end_x > x:
        return Label(lines, x, y, anchor, to)
    return Label(lines, x, y, anchor, (beside, *to))
