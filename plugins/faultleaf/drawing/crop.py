"""A window into the drawing round one component."""

from collections.abc import Mapping
from dataclasses import dataclass

from faultleaf.drawing.scene import Part, Scene
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


def crop_of_most(scene: Scene, cards: Mapping[str, int], metrics: FontMetrics) -> Crop | None:
    """The window in which most of what these components count is seen with their words, of equal ones the first.

    None where none of them is on the drawing.
    """
    crops = [crop for card in cards if (crop := crop_of(scene, card, metrics))]
    parts = [part for part in scene.parts if part.card in cards]
    seen = [(crop.box, [part for part in parts if _is_seen(part, crop.box, metrics)]) for crop in crops]
    worth = [sum(cards[card] for card in {part.card for part in shown}) for _, shown in seen]
    if not any(worth):
        return None
    box, shown = seen[worth.index(max(worth))]
    return Crop(box, tuple(part.id for part in shown))


def _is_seen(part: Part, window: Box, metrics: FontMetrics) -> bool:
    return any(window.holds(label.box(metrics)) for label in part.labels) and window.overlaps(part.box)


def _within(wanted: float, most: float) -> float:
    return float(round(max(0.0, min(wanted, most))))
