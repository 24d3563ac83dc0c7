"""A chart that is too large for one page, cut at the best place into numbered sheets."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from faultleaf.layout.chart import Chart, tidy
from faultleaf.layout.fit import (
    FLOOR_PT,
    Content,
    DoesNotFit,
    Frame,
    Job,
    Measured,
    best_result,
    finish,
    goals,
    whole_job,
)
from faultleaf.layout.fold import folds
from faultleaf.layout.metrics import FontMetrics, Rulers
from faultleaf.layout.order import Place
from faultleaf.layout.shapes import PlacedChart


def lay_out_sheets(chart: Chart, metrics: FontMetrics, frame: Frame) -> tuple[PlacedChart, ...]:
    """The chart on as few sheets as hold it in type of 10 pt or more, each in the largest type that fits it.

    It is cut where the fewest calls must turn to another sheet; exits to another one say "sheet 2"
    beside the number of the box. Raises DoesNotFit when a sheet does not even hold one box so.
    """
    chart = tidy(chart)
    whole = whole_job(chart, Rulers(metrics), frame)
    best = best_result(whole)
    if best and best.type_pt >= FLOOR_PT:
        return (finish(chart, whole, best),)
    cuts = _best_cuts(chart, whole)
    if cuts is None:
        raise DoesNotFit(f"a box does not fit {frame.width_mm:g} x {frame.height_mm:g} mm in type of {FLOOR_PT:g} pt")
    sheet_of = {whole.places[i].box.id: n for n, part in enumerate(pairwise(cuts), start=1) for i in range(*part)}
    return tuple(_sheet(chart, whole, sheet_of, cuts, number) for number in range(1, len(cuts)))


def _sheet(chart: Chart, whole: Job, sheet_of: dict[str, int], cuts: Sequence[int], number: int) -> PlacedChart:
    elsewhere = {box: sheet for box, sheet in sheet_of.items() if sheet != number}
    content = Content(whole.places, goals(chart, elsewhere), whole.content.rulers)
    job = replace(whole, content=content, start=cuts[number - 1], end=cuts[number])
    best = best_result(job)
    assert best is not None  # it fitted with longer words already, when the cuts were chosen
    return finish(chart, job, best, number, len(cuts) - 1)


@dataclass(frozen=True)
class _Cuts:
    """Where sheets begin and the last one ends; how many there are, and the share of calls that turn a page."""

    at: tuple[int, ...]
    turned: float

    def badness(self) -> tuple[int, float, tuple[int, ...]]:
        """Fewer sheets go before fewer turns."""
        return len(self.at), round(self.turned, 9), self.at


def _best_cuts(chart: Chart, whole: Job) -> tuple[int, ...] | None:
    """First places of all sheets and the end of the last; None where no cuts do.

    Which boxes fit a sheet together is asked as if every connector had to name another sheet. Dynamic
    programme over the ends of sheets: one fold for each box that a sheet can begin with.
    """
    pessimist = goals(chart, {box.id: len(chart.boxes) for box in chart.boxes})
    pile = Measured(Content(whole.places, pessimist, whole.content.rulers).measured(1.0), cut=True)
    best = {0: _Cuts((0,), 0.0)}
    for first in range(whole.end):
        if first not in best:
            continue
        for stop in folds(pile, first, whole.end, whole.room(FLOOR_PT)):
            turned = best[first].turned + _turned(whole.places, first, stop)
            offer = _Cuts((*best[first].at, stop), turned)
            best[stop] = min(best.get(stop, offer), offer, key=_Cuts.badness)
    return best[whole.end].at if whole.end in best else None


def _turned(places: Sequence[Place], first: int, stop: int) -> float:
    """The share of calls that leave these places for others than the end."""
    here = {place.box.id for place in places[first:stop]}
    ways = ((place.box, way) for place in places[first:stop] for way in place.box.exits)
    return math.fsum(box.reach * way.share for box, way in ways if way.target is not None and way.target not in here)
