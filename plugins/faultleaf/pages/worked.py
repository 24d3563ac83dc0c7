"""What the engine and the layout room have worked out for a symptom, ready to be shown."""

from collections.abc import Mapping
from dataclasses import dataclass

from faultleaf.cards import Symptom
from faultleaf.diagnosis import Belief, Plan, Problem, Worth
from faultleaf.diagnosis.worth.endings import Endings
from faultleaf.layout import OutlineStep


@dataclass(frozen=True)
class Asked:
    """A moment of a call, for a reader to say what comes next: the symptom (id) and variant, what was found (step,
    outcome), the best step, what each likely cause would show at it, the share of calls that it ends (a repair),
    whether it mends what all later readings rely on,
    steps that are worse with the minutes by which they are, and the likeliest causes with their shares."""

    symptom: str
    variant: str
    found: tuple[tuple[str, str], ...]
    best: str
    splits: tuple[tuple[str, str], ...]
    removes: float
    mends: bool
    others: tuple[tuple[str, float], ...]
    likely: tuple[tuple[str, float], ...]


@dataclass(frozen=True, eq=False)
class WorkedVariant:
    """One variant of a symptom: its problem and belief before any finding, its plan, how calls that follow it end,
    its drawn chart, what the numbers are worth, the pairs of causes (ids) that no test tells apart, and its sheet
    as a PDF by paper."""

    name: str
    equipment: Mapping[str, str]
    problem: Problem
    belief: Belief
    plan: Plan
    endings: Endings
    svg: str
    outline: tuple[OutlineStep, ...]
    type_pt: float
    worth: Worth
    alike: tuple[tuple[str, str], ...]
    sheets: Mapping[str, bytes]


@dataclass(frozen=True, eq=False)
class WorkedSymptom:
    """A symptom with nothing known of the equipment, and its variants in the author's order."""

    symptom: Symptom
    problem: Problem
    belief: Belief
    variants: tuple[WorkedVariant, ...]
