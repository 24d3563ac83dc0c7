"""What the engine and the layout room have worked out for a symptom, ready to be shown."""

from collections.abc import Mapping
from dataclasses import dataclass

from faultleaf.cards import Symptom
from faultleaf.diagnosis import Belief, Plan, Problem, Worth
from faultleaf.layout import OutlineStep


@dataclass(frozen=True, eq=False)
class WorkedVariant:
    """One variant of a symptom: its problem and belief before any finding, its plan and drawn chart, what the
    numbers are worth, the pairs of causes (ids) that no test tells apart, and its sheet as a PDF by paper."""

    name: str
    equipment: Mapping[str, str]
    problem: Problem
    belief: Belief
    plan: Plan
    svg: str
    outline: tuple[OutlineStep, ...]
    type_pt: float
    worth: Worth
    alike: tuple[tuple[str, str], ...]
    sheets: Mapping[str, bytes]

    @property
    def handed_on(self) -> float:
        """The share of calls that the plan hands on."""
        return sum(box.reach for box in self.plan.boxes if box.kind == "hand-on")


@dataclass(frozen=True, eq=False)
class WorkedSymptom:
    """A symptom with nothing known of the equipment, and its variants in the author's order."""

    symptom: Symptom
    problem: Problem
    belief: Belief
    variants: tuple[WorkedVariant, ...]
