"""What a sheet is asked for, and the papers it is printed on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import inf
from typing import Final

from faultleaf.cards import Fault, Library, Repair, Symptom
from faultleaf.diagnosis import HAND_ON, Box, Plan, Problem
from faultleaf.diagnosis.worth.shake import Stability
from faultleaf.layout import Chart, ChartBox, label_plan
from faultleaf.words import share_text


@dataclass(frozen=True)
class Paper:
    """A sheet of paper upright (mm)."""

    name: str
    width_mm: float
    height_mm: float


LETTER: Final = Paper("letter", 215.9, 279.4)
A4: Final = Paper("a4", 210.0, 297.0)
PAPERS: Final[Mapping[str, Paper]] = {paper.name: paper for paper in (LETTER, A4)}
MARGIN_MM: Final = 10.0
MOST_LIKELY: Final = 3
"""Causes that are named where nothing is settled."""
TURN_AT: Final = 1.05
"""A chart that costs over so many times the minutes of the best plan is not enough alone."""


@dataclass(frozen=True)
class Mark:
    """A firm's mark: the bytes of a picture, its form ("svg", "png", "jpg"), and what it shows, in words."""

    content: bytes
    form: str
    alt: str


@dataclass(frozen=True)
class SheetJob:
    """One symptom on one system: its problem, and the charts to choose from by their number of boxes.

    `equipment` is what is known of the system, `variant` its name in words. `stability` says how far the first
    step hangs on the numbers. `unlimited` are the minutes of the best plan found: a front that costs more by over
    `TURN_AT` goes on overleaf. `after` are the boxes printed before, where this job is that of the other side.
    """

    library: Library
    symptom: Symptom
    variant: str
    equipment: Mapping[str, str]
    problem: Problem
    plans: Mapping[int, Plan]
    stability: Stability
    mark: Mark | None = None
    unlimited: float = inf
    after: int = 0


@dataclass(frozen=True)
class RepairStep:
    """A repair on a chart: what its boxes call it ("3", or "3b" in a run), the fault it mends, the repair."""

    number: str
    fault: Fault
    repair: Repair


@dataclass(frozen=True)
class Drawn:
    """A job with one of its plans, and the chart of that."""

    job: SheetJob
    plan: Plan
    chart: Chart

    @property
    def library(self) -> Library:
        """The cards."""
        return self.job.library

    def steps(self) -> Iterator[tuple[str, str]]:
        """Number and id of every test and repair, in the order of the numbers; runs have letters."""
        for box in self.chart.boxes:
            for letter, step in zip("abcdefghij", box.does, strict=False):
                yield f"{box.number}{letter if len(box.does) > 1 else ''}", step

    def repairs(self) -> Iterator[RepairStep]:
        """The repairs, once each, with the numbers of all their places."""
        numbers: dict[str, list[str]] = {}
        for number, step in self.steps():
            numbers.setdefault(step, []).append(number)
        for step, places in numbers.items():
            if found := self.library.find_repair(step):
                yield RepairStep(", ".join(places), *found)

    def cautions(self) -> tuple[str, ...]:
        """Ids of every caution that the sheet needs, once each: those of its chart, and of its repairs' proofs."""
        proofs = (self.library.proofs[one.repair.proof] for one in self.repairs())
        return tuple(dict.fromkeys([*self.chart_cautions(), *(name for proof in proofs for name in proof.cautions)]))

    def chart_cautions(self) -> tuple[str, ...]:
        """Ids of every caution that the chart's page needs, once each: of the symptom, of its steps and its stops."""
        named = dict.fromkeys(self.job.symptom.make_safe)
        named |= dict.fromkeys(name for _, step in self.steps() for name in self.library.cautions_of(step))
        halts = {key for box in self.chart.boxes for key in box.stops}
        stops = (stop.caution for stop in self.job.problem.stops if stop.caution in halts)
        return tuple(named | dict.fromkeys(stops))


def drawn(job: SheetJob, boxes: int) -> Drawn:
    """The job with its plan of at most so many boxes."""
    plan = job.plans[boxes]
    chart = label_plan(plan, job.problem, job.library, job.symptom.id, job.equipment)
    last = len(chart.boxes) + job.after
    ends = {box.id: box for box in plan.boxes if box.kind == HAND_ON}
    told = tuple(
        _unsettled(job, box, ends[box.id], last + 1) if box.id in ends and _says_more(job, plan) else box
        for box in chart.boxes
    )
    moved = tuple(replace(box, number=box.number + job.after) for box in told)
    start = "From the front" if job.after else chart.start_words
    return Drawn(job, plan, replace(chart, boxes=moved, start_words=start))


def turns_over(job: SheetJob, plan: Plan) -> bool:
    """Whether this plan is printed on a front that goes on overleaf."""
    return not job.after and plan.expected_minutes > TURN_AT * job.unlimited


def _says_more(job: SheetJob, plan: Plan) -> bool:
    return bool(job.after) or turns_over(job, plan)


def _likely(job: SheetJob, end: Box) -> list[tuple[str, float]]:
    """The likeliest causes at this box by name, ways of showing of one cause added up."""
    causes = dict(zip(job.problem.faults, job.problem.causes, strict=True))
    found: dict[str, float] = {}
    for row, share in end.likely:
        if fault := job.library.faults.get(causes[row]):
            name = fault.short or fault.title
            found[name] = found.get(name, 0.0) + share
    return sorted(found.items(), key=lambda one: (-one[1], one[0]))[:MOST_LIKELY]


def _unsettled(job: SheetJob, box: ChartBox, end: Box, following: int) -> ChartBox:
    """The box at which nothing is settled: where to go on, or whom to call and what to tell; the causes left."""
    site = job.library.site
    left = ", ".join(f"{name} {share_text(share)}" for name, share in _likely(job, end))
    likely = f"Likeliest left: {left}." if left else ""
    if job.after:
        tell = "Tell what each box showed and what was repaired."
        return replace(box, action=f"Not settled: hand on, call {site.call}", how=f"{tell} {likely}".strip())
    barred = "After a STOP, or with the glass unproved: hand on."
    return replace(box, action=f"Not settled: turn over, go on at {following}", how=f"{likely} {barred}".strip())
