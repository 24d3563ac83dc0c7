"""The front of a sheet: its blocks are measured, the chart is laid out in what they leave, then all is set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from faultleaf.layout import FLOOR_PT, DoesNotFit, FontMetrics, Frame, PlacedChart, lay_out
from faultleaf.sheets.chart_data import chart_data
from faultleaf.sheets.job import MARGIN_MM, PAPERS, Drawn, Mark, Paper, SheetJob, drawn
from faultleaf.sheets.press import Press, SheetError
from faultleaf.sheets.words import document, front_words

LEVELS: Final = ("full", "short", "least")
"""How much is told of what comes before and after a repair, most first; the back tells all of it."""
WORTH_MINUTES: Final = 1.01
"""A chart may take so many times the minutes of the best that fits, where more can then be told beside it."""
SLACK_MM: Final = 0.2
"""Room that rounding may take."""


@dataclass(frozen=True)
class Maker:
    """What is needed to set sheets: the press, the measures of its font, and a firm's mark where there is one."""

    press: Press
    metrics: FontMetrics
    mark: Mark | None = None


@dataclass(frozen=True)
class Front:
    """A front that fits its paper: its plan and chart, what is told of the ends, the placed chart."""

    drawn: Drawn
    paper: Paper
    level: str
    placed: PlacedChart

    def data(self, back: bool) -> dict[str, Any]:
        """All that the template is given of the front."""
        return {**front_words(self.drawn, back), "level": self.level, "chart": chart_data(self.placed)}


Fronts = Mapping[str, Front]
"""One plan on every paper, by the paper's name."""


def choose(job: SheetJob, maker: Maker) -> Fronts:
    """The fronts of the plan that serves best on both papers, so that nobody's chart hangs on his paper.

    The largest chart whose type is 10 pt or more on both (found by halving: type shrinks as charts grow), or a
    smaller one where that leaves room to tell more about the repairs and costs at most 1 % more minutes. Where
    none keeps 10 pt, the smallest. Raises SheetError where cautions and notices leave no room for any.
    """
    sizes = sorted(job.plans)
    low, high = -1, len(sizes)  # legible at low, not at high
    best: Fronts = {}
    while high - low > 1:
        middle = (low + high) // 2
        fronts = _fronts(maker, drawn(job, sizes[middle]))
        legible = _type_pt(fronts) >= FLOOR_PT
        low, high, best = (middle, high, fronts) if legible else (low, middle, best)
    if not best:
        return _smallest(job, maker)
    offers = [best, *_cheap_enough(job, maker, sizes[:low], best)]
    return min(offers, key=lambda one: (_level(one), _minutes(one)))


def _smallest(job: SheetJob, maker: Maker) -> Fronts:
    fronts = _fronts(maker, drawn(job, min(job.plans)), floor=0.0)
    if not fronts:
        raise SheetError(f"{job.symptom.id}: cautions and notices leave no room for a chart")
    return fronts


def _cheap_enough(job: SheetJob, maker: Maker, sizes: Sequence[int], best: Fronts) -> Iterator[Fronts]:
    """The fronts of smaller charts that are legible and worth their minutes."""
    for boxes in reversed(sizes):
        one = drawn(job, boxes)
        if one.plan.expected_minutes > WORTH_MINUTES * _minutes(best):
            return
        if fronts := _fronts(maker, one):
            yield fronts


def _fronts(maker: Maker, one: Drawn, floor: float = FLOOR_PT) -> Fronts:
    """The front on every paper at the fullest level whose type is not below `floor`; empty where a paper has none."""
    found: dict[str, Front] = {}
    for paper in PAPERS.values():
        front = _front(maker, one, paper, floor)
        if front is None:
            return {}
        found[paper.name] = front
    return found


def _front(maker: Maker, one: Drawn, paper: Paper, floor: float) -> Front | None:
    front = None
    for level, frame in reversed(frames(maker, one, paper).items()):
        try:
            placed = lay_out(one.chart, maker.metrics, frame)
        except DoesNotFit:
            break
        if placed.type_pt < floor or (front and placed.type_pt < FLOOR_PT):
            break
        front = Front(one, paper, level, placed)
    return front


def frames(maker: Maker, one: Drawn, paper: Paper) -> dict[str, Frame]:
    """The room that each level leaves to the chart, where it leaves any; the fullest level first."""
    size = {"width": paper.width_mm, "height": paper.height_mm}
    sheet = {**front_words(one, back=True), "paper": size, "levels": list(LEVELS)}
    heights = maker.press.measure(document("front-heights", paper, sheet))
    width, height = paper.width_mm - 2 * MARGIN_MM, paper.height_mm - 2 * MARGIN_MM - SLACK_MM
    return {level: Frame(width, height - tall) for level, tall in zip(LEVELS, heights, strict=True) if tall < height}


def _type_pt(fronts: Fronts) -> float:
    """The smaller of both papers' type, 0 where there is none."""
    return min((front.placed.type_pt for front in fronts.values()), default=0.0)


def _minutes(fronts: Fronts) -> float:
    return max(front.drawn.plan.expected_minutes for front in fronts.values())


def _level(fronts: Fronts) -> int:
    return max(LEVELS.index(front.level) for front in fronts.values())
