"""A window into the drawing round one component."""

from dataclasses import dataclass

from faultleaf.drawing.scene import Scene
from faultleaf.drawing.shapes import Box, box_round
from faultleaf.layout import FontMetrics

WIDE = 360.0  # as wide as a phone's column, so that its letters keep their size
LOW, HIGH = 220.0, 330.0
ROUND = 34.0  # free room above and below the part


@dataclass(frozen=True)
class Crop:
    """A window, and the parts that are named in it."""

    box: Box
    named: tuple[str, ...]


def crop_of(scene: Scene, card: str, metrics: FontMetrics) -> Crop | None:
    """The window round the component with this id; None where it is not on the drawing."""
    parts = scene.of_card(card)
    if not parts:
        return None
    main = min(parts, key=lambda part: part.apart)
    labels = [label.box(metrics) for label in main.labels if label.box(metrics).grown(60).overlaps(main.box)]
    wanted = box_round([main.box, *labels])
    if wanted.w > WIDE:
        wanted = main.box
    height = min(HIGH, max(LOW, wanted.h + 2 * ROUND))
    x, y = wanted.middle
    left = _within(x - WIDE / 2, scene.width - WIDE)
    top = _within(y - height / 2, scene.height - height)
    return Crop(Box(left, top, WIDE, height), tuple(part.id for part in parts))


def _within(wanted: float, most: float) -> float:
    return float(round(max(0.0, min(wanted, most))))
