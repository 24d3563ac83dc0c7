"""What a sheet is asked for, and the papers it is printed on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from faultleaf.cards import Fault, Library, Repair, Symptom
from faultleaf.diagnosis import Plan, Problem
from faultleaf.diagnosis.worth.shake import Stability
from faultleaf.layout import Chart, label_plan


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
    step hangs on the numbers.
    """

    library: Library
    symptom: Symptom
    variant: str
    equipment: Mapping[str, str]
    problem: Problem
    plans: Mapping[int, Plan]
    stability: Stability
    mark: Mark | None = None


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
        """Ids of every caution that the sheet needs, once each: of the symptom, of its steps, of their proofs."""
        named = dict.fromkeys(self.job.symptom.make_safe)
        named |= dict.fromkeys(name for _, step in self.steps() for name in self.library.cautions_of(step))
        proofs = (self.library.proofs[one.repair.proof] for one in self.repairs())
        return tuple(named | dict.fromkeys(name for proof in proofs for name in proof.cautions))


def drawn(job: SheetJob, boxes: int) -> Drawn:
    """The job with its plan of at most so many boxes."""
    plan = job.plans[boxes]
    return Drawn(job, plan, label_plan(plan, job.problem, job.library, job.symptom.id, job.equipment))
