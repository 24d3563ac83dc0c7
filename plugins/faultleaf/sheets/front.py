"""The front of a sheet: its head and foot are measured, the chart is laid out in what they leave, then all is set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from faultleaf.diagnosis import Plan, Problem
from faultleaf.diagnosis.worth.endings import Endings, endings
from faultleaf.layout import FLOOR_PT, Chart, DoesNotFit, FontMetrics, Frame, PlacedChart, in_brief, lay_out
from faultleaf.sheets.chart_data import chart_data
from faultleaf.sheets.job import MARGIN_MM, PAPERS, Drawn, Mark, Paper, SheetJob, drawn
from faultleaf.sheets.press import Press, SheetError
from faultleaf.sheets.words import document, front_words

SLACK_MM: Final = 0.4
"""Room that rounding may take."""


@dataclass(frozen=True)
class Maker:
    """What is needed to set sheets: the press, the measures of its font, and a firm's mark where there is one."""

    press: Press
    metrics: FontMetrics
    mark: Mark | None = None


@dataclass(frozen=True)
class Front:
    """A side of a sheet that fits its paper: its plan and chart, whether repairs say what is done, the placed chart.

    `over` is the other side where the chart goes on there, `share` the share of all calls that come to this side.
    """

    drawn: Drawn
    paper: Paper
    acts: bool
    placed: PlacedChart
    over: Front | None = None
    share: float = 1.0

    @property
    def sides(self) -> tuple[Drawn, ...]:
        """The charts, in the order of their numbers."""
        return (self.drawn, *self.over.sides) if self.over else (self.drawn,)

    @property
    def ends(self) -> Endings:
        """How the calls end that come to this side, the other one included."""
        own = endings(self.drawn.job.problem, self.drawn.plan)
        return _joined(own, self.over.ends, self.over.share) if self.over else own

    @property
    def minutes(self) -> float:
        """Expected minutes of the calls that come to this side, the other one included."""
        own, over = self.drawn.plan.expected_minutes, self.over
        if over is None:
            return own
        problem = over.drawn.job.problem
        handed_on = float(problem.weights @ problem.ending)  # weights that add up to the share that turns over
        return own - handed_on + over.share * over.drawn.plan.expected_minutes

    def data(self, back: bool) -> dict[str, Any]:
        """All that the template is given of the front."""
        words = {**front_words(self.drawn, self.ends, back), "chart": chart_data(self.placed)}
        return {**words, "over": self.over.data(back)} if self.over else words


def _joined(front: Endings, over: Endings, share: float) -> Endings:
    """The ends of calls of which this share goes on from the front's hand-on."""
    cured = front.cured + share * over.cured
    work = front.cured * front.work_minutes + share * over.cured * over.work_minutes
    return Endings(
        cured,
        front.named + share * over.named,
        max(front.handed_on - share, 0.0) + share * over.handed_on,
        front.stopped + share * over.stopped,
        work / cured if cured > 0 else 0.0,
    )


Fronts = Mapping[str, Front]
"""One plan on every paper, by the paper's name."""


def choose(job: SheetJob, maker: Maker) -> Fronts:
    """The fronts of the plan that costs the fewest minutes of all that both papers hold in type of 10 pt or more.

    Found by halving: type shrinks as charts grow. What a repair does stands beside its cause where that type has room
    for it too; else the back tells it. Where no plan keeps 10 pt, the smallest. Raises SheetError where cautions and
    notices leave no room for any.
    """
    sizes = sorted(job.plans)
    low, high = -1, len(sizes)  # legible at low, not at high
    best: Fronts = {}
    while high - low > 1:
        middle = (low + high) // 2
        fronts = _fronts(maker, drawn(job, sizes[middle]), acts=False)
        low, high, best = (middle, high, fronts) if fronts else (low, middle, best)
    if not best:
        return _smallest(job, maker)
    one = next(iter(best.values())).drawn
    return _fronts(maker, one, acts=True) or best


def go_on(fronts: Fronts, problem: Problem, plans: Mapping[int, Plan], maker: Maker) -> Fronts:
    """The fronts with another side each, on which the calls go on that end unsettled: `problem`, by one of `plans`.

    Without plans the fronts as they are. Raises SheetError as `choose` does.
    """
    one = next(iter(fronts.values())).drawn
    if not plans:
        return fronts
    job = replace(one.job, problem=problem, plans=plans, after=len(one.chart.boxes))
    share = float(problem.weights.sum())
    sides = choose(job, maker)
    return {name: replace(front, over=replace(sides[name], share=share)) for name, front in fronts.items()}


def _smallest(job: SheetJob, maker: Maker) -> Fronts:
    fronts = _fronts(maker, drawn(job, min(job.plans)), acts=False, floor=0.0)
    if not fronts:
        raise SheetError(f"{job.symptom.id}: cautions and notices leave no room for a chart")
    return fronts


def _fronts(maker: Maker, one: Drawn, acts: bool, floor: float = FLOOR_PT) -> Fronts:
    """The front on every paper in type not below `floor`; empty where a paper has none."""
    found: dict[str, Front] = {}
    for paper in PAPERS.values():
        placed = _placed(maker, one, paper, acts)
        if placed is None or placed.type_pt < floor:
            return {}
        found[paper.name] = Front(one, paper, acts, placed)
    return found


def _placed(maker: Maker, one: Drawn, paper: Paper, acts: bool) -> PlacedChart | None:
    chart: Chart = one.chart if acts else in_brief(one.chart)
    room = frame(maker, one, paper)
    try:
        return lay_out(chart, maker.metrics, room) if room else None
    except DoesNotFit:
        return None


def frame(maker: Maker, one: Drawn, paper: Paper) -> Frame | None:
    """The room that head and foot leave to the chart, None where they leave none."""
    words = front_words(one, endings(one.job.problem, one.plan), back=True)
    tall = maker.press.measure(document("front-height", paper, words))
    width, height = paper.width_mm - 2 * MARGIN_MM, paper.height_mm - 2 * MARGIN_MM - SLACK_MM
    return Frame(width, height - tall) if tall < height else None
