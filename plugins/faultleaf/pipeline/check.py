"""Content folders → a library that may be used, with every mistake and every weak spot."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from faultleaf.cards import Library, Mistake
from faultleaf.graph import order_mistakes, weak_spots
from faultleaf.intake import Layer, read_library
from faultleaf.pipeline.fonts import load_metrics
from faultleaf.pipeline.letters import unprintable
from faultleaf.pipeline.widths import too_wide


@dataclass(frozen=True)
class Checked:
    """The library where there is no mistake; mistakes and warnings, each sorted by file and line."""

    library: Library | None
    mistakes: tuple[Mistake, ...]
    warnings: tuple[Mistake, ...]


def check_content(layers: Sequence[Layer], as_of: dt.date | None = None, name: str = "") -> Checked:
    """Everything that is wrong in these folders, and what is weak in the last one: the others are given.

    `as_of` also names overdue reviews. `name` is the site's (`read_library`).
    """
    intake = read_library(layers, name)
    mistakes = tuple(sorted({*intake.mistakes, *order_mistakes(intake.readable)}))
    if mistakes or intake.library is None:
        return Checked(None, mistakes, ())
    metrics = load_metrics()
    printed = [*unprintable(intake.library, metrics), *too_wide(intake.library, metrics)]
    warnings = sorted([*weak_spots(intake.library, as_of), *printed])
    return Checked(intake.library, (), tuple(warning for warning in warnings if warning.path in intake.own))
