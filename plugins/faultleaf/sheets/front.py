"""The front of a sheet: its blocks are measured, the chart is laid out in what they leave, then all is set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from faultleaf.layout import FLOOR_PT, DoesNotFit, FontMetrics, Frame, PlacedChart, lay_out
from faultleaf.sheets.chart_data import chart_data
from faultleaf.sheets.job import MARGIN_MM, PAPERS, Drawn, Paper, SheetJob, drawn
from faultleaf.sheets.press import Press, SheetError
from faultleaf.sheets.words import front_words, paper_data

LEVELS: Final = ("full", "short", "least")
"""How much is told of what comes before and after a repair, most first; the back tells all of it."""
WORTH_MINUTES: Final = 1.01
"""A chart may take so many times the minutes of the best that fits, where more can then be told beside it."""
MOST_BOXES: Final = 10
"""Larger charts are not tried: beside cautions and notice no page holds them in legible type."""
FRONT: Final = "front.typ"
SLACK_MM: Final = 0.2
"""Room that rounding may take."""


@dataclass(frozen=True)
class Maker:
    """What is needed to set sheets: the press and the measures of its font."""

    press: Press
    metrics: FontMetrics


@dataclass(frozen=True)
class Front:
    """A front that fits its paper: its plan and chart, what is told of the ends, the placed chart."""

    drawn: Drawn
    paper: Paper
    level: str
    placed: PlacedChart

    def data(self, back: bool) -> dict[str, Any]:
        """All that the template is given."""
        words = front_words(self.drawn, back)
        return {**words, "paper": paper_data(self.paper), "level": self.level, "chart": chart_data(self.placed)}


Fronts = Mapping[str, Front]
"""One plan on every paper, by the paper's name."""


def choose(job: SheetJob, maker: Maker) -> Fronts:
    """The fronts of the plan that serves best on both papers, so that nobody's sheet hangs on his paper.

    The largest chart whose type is 10 pt or more on both; a smaller one where that leaves room to tell more
    about the repairs and costs at most 1 % more minutes. Where none keeps 10 pt, the one in the largest type.
    Raises SheetError where cautions and notices leave no room for any.
    """
    offers = list(_offers(job, maker))
    if not offers:
        raise SheetError(f"{job.symptom.id}: cautions and notices leave no room for a chart")
    legible = [one for one in offers if _type_pt(one) >= FLOOR_PT]
    if not legible:
        return max(offers, key=_type_pt)
    limit = WORTH_MINUTES * min(map(_minutes, legible))
    return min((one for one in legible if _minutes(one) <= limit), key=lambda one: (_level(one), _minutes(one)))


def _offers(job: SheetJob, maker: Maker) -> Iterator[Fronts]:
    """Fronts from the largest chart to the smallest; after the first legible one only those worth their minutes."""
    best = float("inf")
    for boxes in sorted((one for one in job.plans if one <= MOST_BOXES), reverse=True):
        one = drawn(job, boxes)
        if one.plan.expected_minutes > WORTH_MINUTES * best:
            return
        if fronts := _fronts(maker, one):
            yield fronts
            if _type_pt(fronts) >= FLOOR_PT:
                best = min(best, one.plan.expected_minutes)


def _fronts(maker: Maker, one: Drawn) -> Fronts:
    """The front on every paper at the fullest level in legible type, else at the least; empty where one has no room."""
    found: dict[str, Front] = {}
    for paper in PAPERS.values():
        front = _front(maker, one, paper)
        if front is None:
            return {}
        found[paper.name] = front
    return found


def _front(maker: Maker, one: Drawn, paper: Paper) -> Front | None:
    rooms = frames(maker, one, paper)
    front = None
    for level in reversed(LEVELS):
        try:
            placed = lay_out(one.chart, maker.metrics, rooms[level])
        except (DoesNotFit, KeyError):
            break
        if front and placed.type_pt < FLOOR_PT:
            break
        front = Front(one, paper, level, placed)
        if placed.type_pt < FLOOR_PT:
            break
    return front


def frames(maker: Maker, one: Drawn, paper: Paper) -> dict[str, Frame]:
    """The room that each level leaves to the chart, where it leaves any."""
    asked = {**front_words(one, back=True), "paper": paper_data(paper), "levels": list(LEVELS)}
    heights = maker.press.measure(FRONT, asked)
    width, height = paper.width_mm - 2 * MARGIN_MM, paper.height_mm - 2 * MARGIN_MM - SLACK_MM
    return {level: Frame(width, height - tall) for level, tall in zip(LEVELS, heights, strict=True) if tall < height}


def _type_pt(fronts: Fronts) -> float:
    return min(front.placed.type_pt for front in fronts.values())


def _minutes(fronts: Fronts) -> float:
    return max(front.drawn.plan.expected_minutes for front in fronts.values())


def _level(fronts: Fronts) -> int:
    return max(LEVELS.index(front.level) for front in fronts.values())
