"""The front of a sheet: its head and foot are measured, the chart is laid out in what they leave, then all is set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from faultleaf.diagnosis import Plan, Problem
from faultleaf.diagnosis.worth.endings import Endings, endings
from faultleaf.layout import Chart, DoesNotFit, Fitting, FontMetrics, Frame, Memory, PlacedChart, in_brief
from faultleaf.sheets.chart_data import chart_data
from faultleaf.sheets.job import MARGIN_MM, PAPERS, Drawn, Mark, Paper, SheetJob, drawn
from faultleaf.sheets.press import Press, SheetError
from faultleaf.sheets.words import document, front_words

SLACK_MM: Final = 0.4
"""Room that rounding may take."""


@dataclass(frozen=True)
class Maker:
    """What is needed to set sheets: the press, the measures of its font, a firm's mark where there is one, and where
    charts that have been laid out are kept."""

    press: Press
    metrics: FontMetrics
    mark: Mark | None = None
    memory: Memory | None = None


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
    best: tuple[Drawn, Fitting] | None = None
    while high - low > 1:
        middle = (low + high) // 2
        one = drawn(job, sizes[middle])
        fitting = _fitting(maker, one, acts=False)
        if fitting and fitting.legible():
            low, best = middle, (one, fitting)
        else:
            high = middle
    if best is None:
        return _smallest(job, maker)
    one, fitting = best
    more = _fitting(maker, one, acts=True)
    acts = more is not None and more.legible()
    return _fronts(one, more if more and acts else fitting, acts)


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
    one = drawn(job, min(job.plans))
    fitting = _fitting(maker, one, acts=False)
    try:
        if fitting:
            return _fronts(one, fitting, acts=False)
    except DoesNotFit:
        pass
    raise SheetError(f"{job.symptom.id}: cautions and notices leave no room for a chart")


def _fronts(one: Drawn, fitting: Fitting, acts: bool) -> Fronts:
    """The front on every paper. Raises DoesNotFit where a paper holds no chart at any size."""
    papers = zip(PAPERS.values(), fitting.placed(), strict=True)
    return {paper.name: Front(one, paper, acts, placed) for paper, placed in papers}


def _fitting(maker: Maker, one: Drawn, acts: bool) -> Fitting | None:
    """The chart in the rooms that head and foot leave to it on every paper; None where one leaves none."""
    rooms = [room for paper in PAPERS.values() if (room := frame(maker, one, paper))]
    chart: Chart = one.chart if acts else in_brief(one.chart)
    return Fitting(chart, maker.metrics, rooms, maker.memory) if len(rooms) == len(PAPERS) else None


def frame(maker: Maker, one: Drawn, paper: Paper) -> Frame | None:
    """The room that head and foot leave to the chart, None where they leave none."""
    words = front_words(one, endings(one.job.problem, one.plan), back=True)
    tall = maker.press.measure(document("front-height", paper, words))
    width, height = paper.width_mm - 2 * MARGIN_MM, paper.height_mm - 2 * MARGIN_MM - SLACK_MM
    return Frame(width, height - tall) if tall < height else None
